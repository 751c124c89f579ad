"""The piece in hand: when it will be done, from what it took so far."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.guess import guess
from bench.pace.intervals import Forecast
from bench.pace.records import Work
from bench.pace.stage_predictive import StagePredictive

UNIT_SD = 0.5
"""Spread of single crosses, log scale; common practice, no source."""
UNEVEN_SD = 0.12
"""Spread between the parts of a stage (narrow and wide rows), log scale; no source."""


@dataclass(frozen=True)
class SoFar:
    """What was done of a stage in this piece, hands-on, without rework."""

    units: float
    seconds: float


def piece_in_hand(
    expected: StagePredictive, work: Work, so_far: Mapping[HandsOn, SoFar]
) -> Forecast:
    """Hands-on seconds of the whole piece, those already spent included.

    What is to come has the usual rework in it. The share of each stage that was done tells how
    this piece runs, the more of it the more surely; stages to come learn from it as far as the
    stages of a piece go together. Units beyond those of the work count as all.

    Args:
        expected: the maker's pace for such a piece, this one not in it.
        work: the piece as a whole.
        so_far: what was done of it.

    """
    guessed = guess(work)
    left = [1.0 if guessed[stage] > 0 else 0.0 for stage in HANDS_ON]
    now, seen_stages, distance = expected, 0, 0.0
    for k, stage in enumerate(HANDS_ON):
        part, whole = so_far.get(stage), work.units(stage)
        if part is None or part.units <= 0 or whole <= 0:
            continue
        done = min(1.0, part.units / whole)
        left[k] = 1.0 - done
        if part.seconds > 0:
            noise = UNIT_SD**2 * (1 / part.units - 1 / max(part.units, whole))
            noise += UNEVEN_SD**2 * (1 - done)
            miss = math.log(part.seconds / done / guessed[stage]) - now.mean[k]
            seen_stages += 1
            distance += miss**2 / (now.covariance[k][k] + noise)
            now = _given(now, k, miss, noise)
    # A piece that is unlike the others so far may go on so: conditioning a multivariate t.
    wider = (expected.tail + distance) / (expected.tail + seen_stages)
    now = replace(now, covariance=[[wider * c for c in row] for row in now.covariance])
    spent = sum(part.seconds for part in so_far.values())
    return _forecast(now, work, left, spent)


def _forecast(now: StagePredictive, work: Work, left: Sequence[float], spent: float) -> Forecast:
    """Sum up the shares of stages that are left, uneven where they are not whole."""
    seconds = now.mean_s(work, left)
    total = sum(seconds)
    if total <= 0:
        return Forecast(-math.inf, 0.0, now.degrees_of_freedom, spent)
    variance = max(0.0, now.log_variance(seconds)) + sum(
        (UNEVEN_SD * s / total) ** 2 * (1 - part) for s, part in zip(seconds, left, strict=True)
    )
    median = math.log(total) - variance / 2
    return Forecast(median, math.sqrt(variance), now.degrees_of_freedom, spent)


def stages_of_piece(expected: StagePredictive, work: Work, stages: Collection[HandsOn]) -> Forecast:
    """Hands-on seconds of some stages of a piece of which nothing is done."""
    return _forecast(expected, work, [float(stage in stages) for stage in HANDS_ON], 0.0)


def _given(before: StagePredictive, k: int, miss: float, noise: float) -> StagePredictive:
    """Condition on one stage's log seconds, so far off its mean, seen with a noise variance."""
    column = [row[k] for row in before.covariance]
    gain = [c / (column[k] + noise) for c in column]
    return replace(
        before,
        mean=[m + g * miss for m, g in zip(before.mean, gain, strict=True)],
        covariance=[
            [c - g * d for c, d in zip(row, column, strict=True)]
            for row, g in zip(before.covariance, gain, strict=True)
        ],
    )
