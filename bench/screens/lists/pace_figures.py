"""What the pace screen shows, worked out from the times of finished pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.predictive import Job, history
from bench.pace.records import PieceRecord, Variant
from bench.screens.kit.plot import PlotPoint
from bench.screens.kit.words import STAGE_WORDS
from bench.timing.pace_service import LivePace
from bench.timing.piece_history import Course

MOST_POINTS = 80
UNITS = {"load": "a bead", "set_up": "a strand", "braid": "a cross", "finish": "a piece"}
SIGNS = {"good": "●", "second": "○", "given_up": "×"}
PLOTTED = {"whole": "whole piece"} | {
    stage: f"{STAGE_WORDS[stage]} only" for stage in ("load", "set_up", "braid", "finish")
}
"""What the plot can be of."""


@dataclass(frozen=True)
class PatternTimes:
    """One pattern in one size and colourway: what its next piece is expected to take, in seconds.

    last: when the last one was finished, UTC seconds.
    """

    variant: Variant
    title: str
    pieces: int
    low_s: float
    median_s: float
    high_s: float
    last: float | None

    @property
    def name(self) -> str:
        """The title with size and colourway."""
        return ", ".join(part for part in (self.title, *self.variant[1:]) if part)


@dataclass(frozen=True)
class StageShare:
    """One stage over the latest pieces: seconds in a piece, its share, seconds per unit."""

    stage: HandsOn
    seconds: float
    share: float
    unit_s: float
    unit: str
    pieces: int


def pattern_times(pace: LivePace) -> list[PatternTimes]:
    """The times of each pattern, size and colourway that was made; the one made last first."""
    variants: dict[Variant, list[PieceRecord]] = {}
    for record in pace.records:
        variants.setdefault(record.variant, []).append(record)
    found = []
    for variant, made in variants.items():
        title = variant.pattern.replace("-", " ").title()
        next_piece = pace.next_piece(Job(*variant, made[-1].work))
        days = [record.day for record in made if record.day is not None]
        last = max(days) * 86_400 if days else None
        found.append(PatternTimes(variant, title, len(made), *next_piece, last))
    # Where every piece is set aside or a trial there is still a way to its pieces.
    for times in pace.pieces:
        variant = times.kind
        if variant not in variants and times.work is not None and (times.trial or times.too_fast):
            variants[variant] = []
            title = variant.pattern.replace("-", " ").title()
            next_piece = pace.next_piece(Job(*variant, times.work))
            found.append(PatternTimes(variant, title, 0, *next_piece, times.finished_at))
    return sorted(found, key=lambda line: (-(line.last or 0.0), line.title))


def plot_points(pace: LivePace, line: PatternTimes, plotted: str) -> list[PlotPoint]:
    """The pieces of a pattern in minutes with what was expected of each, and the next one."""
    stages = HANDS_ON if plotted == "whole" else (cast("HandsOn", plotted),)
    found = history(pace.model, pace.records, line.variant.pattern, stages, last=MOST_POINTS)
    points: list[PlotPoint] = []
    for made in found:
        record = made.record
        value = _seconds(record, stages)
        if record.variant == line.variant and value is not None:
            said = made.band.interval()
            band = (said.low_s / 60, said.median_s / 60, said.high_s / 60)
            points.append(PlotPoint(made.number, value / 60, *band, SIGNS[record.outcome]))
    if points:
        shares = tuple((stage, 1.0) for stage in stages)
        job = Job(*line.variant, found[-1].record.work, shares)
        low, middle, high = (seconds / 60 for seconds in pace.next_piece(job))
        points.append(PlotPoint(found[-1].number + 1, None, low, middle, high))
    return points


def _seconds(record: PieceRecord, stages: Sequence[HandsOn]) -> float | None:
    """Seconds of a record for the stages that are shown, as they are forecast: rework included.

    None where they were not timed.
    """
    if stages == HANDS_ON:
        return None if record.outcome == "given_up" else record.total_s
    known = {time.stage: time for time in record.stages}
    if stages[0] not in known:
        return None
    time = known[stages[0]]
    again = record.rework_s or 0.0 if time.stage == "braid" else 0.0
    return (time.seconds + again) * record.work.units(stages[0]) / time.units


def stage_shares(courses: Sequence[Course]) -> list[StageShare]:
    """Mean seconds of each stage over the pieces that have it timed, and shares of their sum."""
    found = []
    for stage in HANDS_ON:
        timed = [
            (c.times.stages[stage].hands_on_s, c.times.units[stage], c.times.work.units(stage))
            for c in courses
            if stage in c.times.units and c.times.work is not None
        ]
        if timed:
            # A stage that was broken off stands for a whole one by the units that were done.
            unit_s = sum(s for s, _, _ in timed) / sum(units for _, units, _ in timed)
            whole = sum(units for _, _, units in timed) / len(timed)
            found.append((stage, unit_s * whole, unit_s, len(timed)))
    whole = sum(seconds for _, seconds, _, _ in found) or 1.0
    return [
        StageShare(stage, seconds, seconds / whole, unit_s, UNITS[stage], pieces)
        for stage, seconds, unit_s, pieces in found
    ]
