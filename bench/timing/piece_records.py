"""A finished piece's times as the pace room and a CSV row take them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from bench.craft.stages import HANDS_ON, HandsOn, Stage
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.csv_rows import PieceRow
from bench.journal.frozen import work_of
from bench.journal.piece_state import IN_THE_MAKING
from bench.journal.piece_times import PieceTimes
from bench.pace.records import Outcome, PieceRecord, StageTime, Variant, Work

TRIED = 0.1
"""A stage given up before this share of it was tried out, not worked at; no source."""


def named_work(library: Library, name: str) -> Work | None:
    """The work in a piece of a pattern of the library; None if there is no such pattern."""
    try:
        path = library.pattern_path(name)
        return work_of(library.plan(path))
    except (DocumentError, Fault):
        return None


def record_of(times: PieceTimes) -> PieceRecord | None:
    """One piece as the pace room takes it; None if it is not done or nothing of it was timed."""
    if times.status == IN_THE_MAKING or times.work is None or times.trial or times.too_fast:
        return None
    whole_s = None
    if times.recorded:
        stages = tuple(_typed_stages(times))
        wholes = [r.hands_on_s for r in times.recorded if r.stage is None]
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
        size=times.size,
        colourway=times.colourway,
        work=times.work,
        day=None if times.finished_at is None else times.finished_at / 86400,
        stages=stages,
        whole_s=whole_s,
        outcome=outcome_of(times),
        rework_s=times.rework_s,
    )


def _only_tried(times: PieceTimes, stage: HandsOn) -> bool:
    """Whether a piece was given up so early in a stage that its presses say nothing of the pace."""
    if times.status != "given up" or times.work is None:
        return False
    return times.units[stage] < TRIED * times.work.units(stage)


def outcome_of(times: PieceTimes) -> Outcome:
    """How a piece that is done came out."""
    if times.status == "given up":
        return "given_up"
    return "second" if times.status == "second" else "good"


def loose_of(pieces: Iterable[PieceTimes]) -> dict[Variant, int]:
    """Count the good pieces that were started for no commission."""
    return dict(
        Counter(
            times.kind
            for times in pieces
            if times.commission is None and times.status == "good" and not times.trial
        )
    )


def work_days(pieces: Iterable[PieceTimes]) -> dict[int, float]:
    """Sum the seconds at the bench up by UTC day since 1970."""
    days: dict[int, float] = {}
    for times in pieces:
        if times.trial or times.too_fast:
            continue
        for day, seconds in times.days:
            days[day] = days.get(day, 0.0) + seconds
    return days


def rows_of(times: PieceTimes) -> Iterator[PieceRow]:
    """A finished piece as rows: one of the whole if every stage was timed, else one a stage."""
    if times.status in {IN_THE_MAKING, "given up"} or times.trial or times.too_fast:
        return
    for said in times.recorded:
        yield replace(
            _row(times, said.stage, said.hands_on_s, said.rework_s, said.crosses),
            finished_at=said.finished_at,
            waiting_s=said.waiting_s,
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
    stage: Stage | None,
    hands_on_s: float,
    rework_s: float | None,
    crosses: int | None,
) -> PieceRow:
    return PieceRow(
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


def _typed_stages(times: PieceTimes) -> Iterator[StageTime]:
    assert times.work is not None
    last = {said.stage: said for said in times.recorded}
    for stage in HANDS_ON:
        said = last.get(stage)
        units = times.work.units(stage)
        if said is None or said.hands_on_s <= 0 or not units:
            continue
        counted = said.crosses if stage == "braid" and said.crosses else units
        yield StageTime(stage, min(counted, units), said.hands_on_s)
