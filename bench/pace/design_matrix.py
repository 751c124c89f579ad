"""The pieces in groups that share their design: log ratios, covariates, and the rows over stages.

A piece has one row for each stage that was timed by itself, and one more for the stages of which
only the sum is known. A row's expectation is linear in the stages' levels, in the covariates that
all rows of the piece share (learning, drift), and, for a sum of stages, made so at a given level.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bench.craft.stages import HANDS_ON
from bench.pace.guess import guess
from bench.pace.prior import Prior
from bench.pace.records import PieceRecord, Variant

Array = NDArray[np.float64]

N_STAGES = len(HANDS_ON)
KNOTS = (0.0, 5.0, 15.0, 45.0, 135.0, 405.0)
"""Ages in days between which the drift is straight; beyond the last it stands still."""
N_COMMON = 2 + len(KNOTS) - 1
"""Covariates that the rows of a piece share: two learning slopes, drift at the knots."""
SIZE = N_STAGES + N_COMMON
"""Length of the maker's own vector of coefficients: levels of the stages, then the covariates'."""


@dataclass(slots=True)
class PieceGroup:
    """Pieces of one variant with the same rows known.

    Attributes:
        variant: pattern, size and colourway of all of them.
        single: stages that have a row of their own.
        summed: stages that are known only as a sum, one more row; may be empty.
        guess_s: guessed seconds of every stage.
        log_ratios: pieces × rows: log seconds less the guess's and the prior's learning.
        covariates: pieces × N_COMMON.
        weights: of each piece, 1 for one like the others.

    """

    variant: Variant
    single: tuple[int, ...]
    summed: tuple[int, ...]
    guess_s: tuple[float, ...]
    log_ratios: Array
    covariates: Array
    weights: Array

    def stage_rows(self, level: Array) -> tuple[Array, Array]:
        """Rows × stages, and what each row's expectation is beyond that, near a level."""
        rows = np.eye(N_STAGES)[[*self.single]]
        offset = np.zeros(len(rows))
        if not self.summed:
            return rows, offset
        guessed = np.zeros(N_STAGES)
        guessed[[*self.summed]] = [self.guess_s[s] for s in self.summed]
        seconds = guessed * np.exp(level)
        share = seconds / seconds.sum()
        beyond = math.log(seconds.sum() / guessed.sum()) - share @ level
        return np.vstack([rows, share]), np.append(offset, beyond)


def covariates(overall: ArrayLike, within: ArrayLike, age: ArrayLike) -> Array:
    """Covariates, pieces × N_COMMON.

    Args:
        overall: which of all pieces each is, from 1.
        within: which of its pattern's pieces.
        age: in days.

    """
    at_knots = np.interp(np.atleast_1d(age), KNOTS, range(len(KNOTS)))
    far = np.abs(np.subtract.outer(at_knots, np.arange(1, len(KNOTS))))
    return np.column_stack([-np.log(overall), -np.log(within), np.maximum(0.0, 1.0 - far)])


def in_order(
    records: Sequence[PieceRecord], today: float
) -> tuple[list[PieceRecord], Callable[[PieceRecord], float]]:
    """Put records in the order made, undated ones as of the oldest day, and tell their ages."""
    oldest = min((r.day for r in records if r.day is not None), default=today)
    made = sorted(records, key=lambda r: oldest if r.day is None else r.day)
    return made, lambda r: today - (oldest if r.day is None else r.day)


def prior_shift(overall: int, within: int, prior: Prior) -> float:
    """Give what the prior's slopes alone make of the n-th piece, on the log scale."""
    return -prior.overall_slope[0] * math.log(overall) - prior.pattern_slope[0] * math.log(within)


@dataclass(slots=True)
class _Rows:
    """What is collected of one group: log ratios, and (overall, within, age) of each piece."""

    log_ratios: list[list[float]] = field(default_factory=list)
    places: list[tuple[int, int, float]] = field(default_factory=list)


def piece_groups(
    records: Sequence[PieceRecord], prior: Prior, today: float
) -> tuple[list[PieceGroup], dict[str, int]]:
    """Sort records into groups in the order made, and count the pieces of each pattern."""
    made, age_of = in_order(records, today)
    found: dict[tuple[Variant, tuple[int, ...], tuple[int, ...], tuple[float, ...]], _Rows] = {}
    counts: dict[str, int] = {}
    for overall, record in enumerate(made, 1):
        within = counts[record.pattern] = counts.get(record.pattern, 0) + 1
        seconds = guess(record.work)
        guess_s = tuple(seconds[s] for s in HANDS_ON)
        rate = {t.stage: t.seconds / t.units for t in record.stages}
        single = tuple(k for k, s in enumerate(HANDS_ON) if s in rate and guess_s[k] > 0)
        summed: tuple[int, ...] = ()
        ratios = [rate[HANDS_ON[k]] * record.work.units(HANDS_ON[k]) / guess_s[k] for k in single]
        if record.whole_s is not None and record.outcome != "given_up":
            left = record.whole_s - sum(t.seconds for t in record.stages)
            others = tuple(k for k in range(N_STAGES) if k not in single and guess_s[k] > 0)
            if others and left > 0:
                summed = others
                ratios.append(left / sum(guess_s[k] for k in others))
        if ratios:
            shift = prior_shift(overall, within, prior)
            rows = found.setdefault((record.variant, single, summed, guess_s), _Rows())
            rows.log_ratios.append([math.log(ratio) - shift for ratio in ratios])
            rows.places.append((overall, within, age_of(record)))
    groups = [
        PieceGroup(
            *key,
            np.array(rows.log_ratios),
            covariates(*np.array(rows.places).T),
            np.ones(len(rows.places)),
        )
        for key, rows in found.items()
    ]
    return groups, counts
