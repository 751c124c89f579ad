"""How one piece went: every gap between its presses, and the seconds of each cross and row."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from bench.craft.plan import Plan
from bench.craft.stages import HandsOn
from bench.journal.errors import Damaged
from bench.journal.frozen import thaw, work_of
from bench.journal.piece_times import PieceTimes, piece_times
from bench.journal.presses import Presses, ticks_by_stage
from bench.journal.store import Journal


@dataclass(frozen=True)
class Gap:
    """The time before one press: work, or a break, as found or as the maker said."""

    event: str
    """The press's event, to be named when the maker corrects it."""
    wall: float
    """When the press came, UTC seconds since 1970; the gap lies before it."""
    offset_min: int
    stage: HandsOn
    cross: int
    """Crosses made after the press."""
    seconds: float
    is_break: bool
    corrected: bool


@dataclass(frozen=True)
class Course:
    """A piece with its gaps, and the hands-on seconds of each cross made for the first time."""

    times: PieceTimes
    plan: Plan | None
    gaps: tuple[Gap, ...]
    cross_s: Mapping[int, float]


def course_of(journal: Journal, piece: str) -> Course:
    """Read how a piece went."""
    state, plan = journal.timed(piece), None
    started = journal.started(piece)
    if started is not None:
        with contextlib.suppress(Damaged):
            plan = thaw(started).plan
    times = piece_times(state, None if plan is None else work_of(plan))
    presses = state.presses or Presses()
    return Course(times, plan, tuple(_gaps(presses, times)), _cross_s(presses, times))


def _gaps(presses: Presses, times: PieceTimes) -> Iterator[Gap]:
    """Every known gap of the stages that were timed, in order."""
    by_stage, corrected = ticks_by_stage(presses), dict(presses.corrections)
    for press in presses.all:
        if press.stage == "dry" or press.stage not in times.stages or not press.gap_s:
            continue
        breaks = times.stages[press.stage].breaks
        yield Gap(
            press.event,
            press.instant.wall,
            press.instant.offset_min,
            press.stage,
            press.made,
            press.gap_s,
            any(tick in breaks for tick in by_stage[press.stage].spans[press.event]),
            press.event in corrected,
        )


def _cross_s(presses: Presses, times: PieceTimes) -> dict[int, float]:
    """Hands-on seconds by cross, as it was made first; breaks left out."""
    found = times.stages.get("braid")
    seconds: dict[int, float] = {}
    if found is not None:
        ticks = ticks_by_stage(presses)["braid"].ticks
        for tick, spent in zip(ticks, found.work_s, strict=True):
            if tick.kind == "made" and tick.gap_s is not None:
                seconds.setdefault(tick.cross, spent)
    return seconds


@dataclass(frozen=True)
class RowTime:
    """Seconds per cross in one row; row 0 is the plain start, None the plain end."""

    row: int | None
    seconds: float
    beads: str
    """Letters that the row brings in."""


def row_times(courses: Sequence[Course]) -> list[RowTime]:
    """Seconds per cross by row: the median over pieces, with the plan of the last of them."""
    plan = next((c.plan for c in reversed(courses) if c.plan is not None), None)
    if plan is None:
        return []
    crosses: dict[int | None, list[int]] = {}
    for cross in range(1, plan.crosses + 1):
        row = plan.row_at(cross)[0]
        if row is None and cross <= plan.plain_start:
            row = 0
        crosses.setdefault(row, []).append(cross)
    out = []
    for row, members in crosses.items():
        means = []
        for course in courses:
            known = [course.cross_s[c] for c in members if c in course.cross_s]
            if known and course.plan is not None and course.plan.crosses == plan.crosses:
                means.append(sum(known) / len(known))
        if means:
            beads = {m.bead for c in members for m in plan.step(c).carried if m.bead}
            out.append(RowTime(row, median(means), "".join(sorted(beads))))
    return out


__all__ = ["Course", "Gap", "RowTime", "course_of", "row_times"]
