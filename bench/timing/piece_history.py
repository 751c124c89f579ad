"""How one piece went: every gap between its presses, and the seconds of each cross and row."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import cast

from pydantic import ValidationError

from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.journal.events import Event
from bench.journal.piece_clock import PieceClock
from bench.journal.piece_times import PieceTimes, work_of
from bench.journal.store import Journal
from bench.pace.gaps import TickKind
from bench.pace.records import Stage


@dataclass(frozen=True)
class Gap:
    """The time before one press: work, or a break, as found or as the maker said."""

    event: str
    """The press's event, to be named when the maker corrects it."""
    wall: float
    """When the press came, UTC seconds since 1970; the gap lies before it."""
    offset_min: int
    stage: Stage
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


class _Presses(PieceClock):
    """A piece's clock that also remembers which event stands behind each tick."""

    def __init__(self, piece: str) -> None:
        super().__init__(piece)
        self.presses: list[tuple[Event, int]] = []

    def _tick(
        self, event: Event, kind: TickKind, steps: Iterable[int], share: float, stage: str = ""
    ) -> None:
        super()._tick(event, kind, steps, share, stage)
        if event.uuid in self._places:
            self.presses.append((event, self.made))

    def gaps(self, times: PieceTimes) -> Iterable[Gap]:
        """Every known gap of the stages that were timed, in order."""
        for event, cross in self.presses:
            name, ticks = self._places[event.uuid]
            stage = cast("Stage", name)
            found = times.stages.get(stage)
            if found is None:
                continue
            known = [self._ticks[stage][tick].gap_s for tick in ticks]
            seconds = sum(gap for gap in known if gap is not None)
            if seconds > 0:
                yield Gap(
                    event.uuid,
                    event.moment.wall,
                    event.moment.offset_min,
                    stage,
                    cross,
                    seconds,
                    any(tick in found.breaks for tick in ticks),
                    any(tick in self._overrides.get(stage, {}) for tick in ticks),
                )

    def cross_s(self, times: PieceTimes) -> dict[int, float]:
        """Hands-on seconds by cross, as it was made first; breaks left out."""
        found = times.stages.get("braid")
        seconds: dict[int, float] = {}
        if found is not None:
            for tick, spent in zip(self._ticks["braid"], found.work_s, strict=True):
                if tick.kind == "made" and tick.gap_s is not None:
                    seconds.setdefault(tick.cross, spent)
        return seconds


def course_of(journal: Journal, piece: str) -> Course:
    """Read how a piece went."""
    clock = _Presses(piece)
    for event in journal.events(piece):
        clock.take(event, dict(event.pieces).get(piece, 1.0))
    plan = None
    if clock.started:
        try:
            pattern = Pattern.model_validate(clock.started["pattern"])
            plan = Plan(pattern, Structure.model_validate(clock.started["structure"]))
        except (ValidationError, Fault):
            plan = None
    times = clock.times(None if plan is None else work_of(plan))
    return Course(times, plan, tuple(clock.gaps(times)), clock.cross_s(times))


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
