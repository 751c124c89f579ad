"""The clean times of a piece, as the pace, the screens and CSV take them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from bench.craft.load import SKIP
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.documents import DocumentError
from bench.journal.rows import Row
from bench.journal.state import IN_THE_MAKING
from bench.library import Library
from bench.pace.gaps import StageSum
from bench.pace.records import STAGES, Outcome, PieceRecord, Stage, StageTime, Work

Kind = tuple[str, str | None, str | None]
"""Pattern, size and colourway, as a piece and a lot name them."""

TRIED = 0.1
"""A stage given up before this share of it was tried out, not worked at; no source."""


@dataclass(frozen=True, slots=True)
class PieceTimes:
    """What is known of one piece's times.

    `work` is None where its frozen pattern cannot be read. `stages` has the hands-on stages that
    were timed, `units` what was done in each of them: a stage that was broken off and has no
    count of its own has none. `waiting_s` is the drying. `recorded` has what was typed in or
    imported.
    """

    piece: str
    title: str
    pattern: str
    size: str | None
    colourway: str | None
    run: str | None
    lot: str | None
    status: str
    finished_at: float | None
    made: int
    left: tuple[tuple[Stage, float], ...]
    """How much of each hands-on stage is still to do, from 0 to 1; nothing of a finished piece."""
    work: Work | None
    stages: Mapping[Stage, StageSum]
    units: Mapping[Stage, float]
    waiting_s: float | None
    recorded: tuple[Mapping[str, Any], ...]

    @property
    def hands_on_s(self) -> float:
        """Hands-on seconds that are known, of all stages."""
        typed = _typed(self.recorded)
        return typed if self.recorded else sum(s.hands_on_s for s in self.stages.values())

    @property
    def rework_s(self) -> float | None:
        """Seconds of rework; None where nothing is known of it."""
        if self.recorded:
            typed = {r["stage"]: r["rework_s"] for r in self.recorded if r["rework_s"] is not None}
            return typed.get(None, sum(typed.values())) if typed else None
        known = [found.rework_s for found in self.stages.values()]
        return sum(known) if "braid" in self.stages else None

    @property
    def spent_s(self) -> float:
        """Hands-on seconds with rework: what a forecast says, and what is paid for."""
        return self.hands_on_s + (self.rework_s or 0.0)

    @property
    def whole(self) -> bool:
        """Whether every stage that has any work was timed."""
        return self.work is not None and all(
            stage in self.stages for stage in STAGES if self.work.units(stage)
        )


def work_of(plan: Plan) -> Work:
    """The beads, strands and crosses of a plan."""
    beads = sum(len(load.replace(SKIP, "")) for load in plan.loads)
    return Work(beads, plan.strands, max(1, plan.crosses))


def frozen_work(started: Mapping[str, Any]) -> Work | None:
    """The work in a piece, from the event that started it; None if that cannot be read."""
    try:
        pattern = Pattern.model_validate(started["pattern"])
        return work_of(Plan(pattern, Structure.model_validate(started["structure"])))
    except (ValidationError, Fault):
        return None


def named_work(library: Library, name: str) -> Work | None:
    """The work in a piece of a pattern of the library; None if there is no such pattern."""
    try:
        path = library.pattern_path(name)
        return work_of(library.plan(path, library.pattern(path)))
    except (DocumentError, Fault):
        return None


def record_of(times: PieceTimes) -> PieceRecord | None:
    """One piece as the pace room takes it; None if it is not done or nothing of it was timed."""
    if times.status == IN_THE_MAKING or times.work is None:
        return None
    whole_s = None
    if times.recorded:
        stages = tuple(_typed_stages(times))
        wholes = [r["hands_on_s"] for r in times.recorded if r["stage"] is None]
        whole_s = wholes[-1] if wholes and wholes[-1] > 0 else None
    else:
        stages = tuple(
            StageTime(stage, times.units[stage], found.hands_on_s)
            for stage, found in times.stages.items()
            if stage in times.units and not _only_tried(times, stage)
        )
    if not stages and whole_s is None:
        return None
    return PieceRecord(
        pattern=times.pattern,
        size=times.size or "",
        colourway=times.colourway or "",
        work=times.work,
        day=None if times.finished_at is None else times.finished_at / 86400,
        stages=stages,
        whole_s=whole_s,
        outcome=outcome_of(times),
        rework_s=times.rework_s,
    )


def _only_tried(times: PieceTimes, stage: Stage) -> bool:
    """Whether a piece was given up so early in a stage that its presses say nothing of the pace."""
    if times.status != "given up" or times.work is None:
        return False
    return times.units[stage] < TRIED * times.work.units(stage)


def outcome_of(times: PieceTimes) -> Outcome:
    """How a piece that is done came out."""
    if times.status == "given up":
        return "given_up"
    return "second" if times.status == "second" else "good"


def loose_of(pieces: Iterable[PieceTimes]) -> dict[Kind, int]:
    """Count the good pieces that were started for no commission."""
    return dict(
        Counter(
            (times.pattern, times.size, times.colourway)
            for times in pieces
            if times.run is None and times.status == "good"
        )
    )


def rows_of(times: PieceTimes) -> Iterator[Row]:
    """A finished piece as rows: one of the whole if every stage was timed, else one a stage."""
    if times.status in {IN_THE_MAKING, "given up"}:
        return
    for said in times.recorded:
        yield replace(
            _row(times, said["stage"], said["hands_on_s"], said["rework_s"], said["crosses"]),
            finished_at=said["finished_at"],
            waiting_s=said["waiting_s"],
        )
    if times.whole:
        seconds = sum(found.hands_on_s for found in times.stages.values())
        rework = sum(found.rework_s for found in times.stages.values())
        row = _row(times, None, round(seconds, 1), round(rework, 1), times.made or None)
        yield replace(row, waiting_s=times.waiting_s)
        return
    for stage, found in times.stages.items():
        crosses = found.crosses if stage == "braid" else None
        yield _row(times, stage, round(found.hands_on_s, 1), round(found.rework_s, 1), crosses)


def _row(
    times: PieceTimes,
    stage: str | None,
    hands_on_s: float,
    rework_s: float | None,
    crosses: int | None,
) -> Row:
    return Row(
        piece=times.title or None,
        finished_at=times.finished_at,
        pattern=times.pattern,
        size=times.size,
        colourway=times.colourway,
        stage=stage,
        hands_on_s=hands_on_s,
        waiting_s=None,
        crosses=crosses,
        rework_s=rework_s,
        uuid=times.piece,
    )


def _typed(recorded: Iterable[Mapping[str, Any]]) -> float:
    """Hands-on seconds of what was typed in: the whole, or else the stages together."""
    whole, parts = 0.0, 0.0
    for said in recorded:
        if said["stage"] is None:
            whole = float(said["hands_on_s"])
        elif said["stage"] in STAGES:
            parts += float(said["hands_on_s"])
    return whole or parts


def _typed_stages(times: PieceTimes) -> Iterator[StageTime]:
    assert times.work is not None
    last = {said["stage"]: said for said in times.recorded}
    for stage in STAGES:
        said = last.get(stage)
        units = times.work.units(stage)
        if said is None or said["hands_on_s"] <= 0 or not units:
            continue
        counted = said["crosses"] if stage == "braid" and said["crosses"] else units
        yield StageTime(stage, min(counted, units), said["hands_on_s"])
