"""The pieces in groups that share their design: log ratios, covariates, and the rows over stages.

A piece has one row for each stage that was timed by itself, and one more for the stages of which
only the sum is known. A row's expectation is linear in the stages' levels, in the covariates that
all rows of the piece share (learning, drift), and, for a sum of stages, made so at a given level.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
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
"""Days before the newest piece between which the drift is straight; it stands still beyond."""
N_COMMON = 3 + len(KNOTS) - 1
"""Covariates that the rows of a piece share: two learning slopes, cold hands, drift at knots."""
SIZE = N_STAGES + N_COMMON
"""Length of the maker's own vector of coefficients: levels of the stages, then the covariates'."""
WARM_DAYS, COLD_DAYS = 7.0, 97.0
"""A pause of up to the first leaves the hands warm, from the second on they are cold; no source."""
STILL_COLD = 0.5
"""How much of the cold is left after each piece; no source."""


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


def drift_weights(age: ArrayLike) -> Array:
    """Of the drift at each knot but the first, for ages in days before the newest piece."""
    at_knots = np.interp(np.atleast_1d(age), KNOTS, range(len(KNOTS)))
    far = np.abs(np.subtract.outer(at_knots, np.arange(1, len(KNOTS))))
    return np.asarray(np.maximum(0.0, 1.0 - far))


def covariates(
    overall: ArrayLike, within: ArrayLike, cold: ArrayLike = 0.0, age: ArrayLike = 0.0
) -> Array:
    """Covariates, pieces × N_COMMON.

    Args:
        overall: which of all pieces each is, from 1.
        within: which of its pattern's pieces.
        cold: how cold the hands were, from 0 to 1.
        age: in days before the newest piece.

    """
    pieces = np.broadcast(overall, within, cold, age).size
    shared = [np.broadcast_to(x, pieces) for x in (-np.log(overall), -np.log(within), cold)]
    drift = np.broadcast_to(drift_weights(age), (pieces, len(KNOTS) - 1))
    return np.column_stack([*shared, drift])


def colder(cold: float, days: float) -> float:
    """How cold the hands are after so many days without a piece, once warmed by the last one."""
    pause = (days - WARM_DAYS) / (COLD_DAYS - WARM_DAYS)
    return max(cold * STILL_COLD, min(1.0, max(0.0, pause)))


@dataclass(frozen=True)
class MadeAt:
    """When a piece was made among the others.

    age: days before the newest. cold: how cold the hands were, from 0 to 1.
    """

    record: PieceRecord
    age: float
    cold: float


def in_order(records: Sequence[PieceRecord]) -> list[MadeAt]:
    """Put records in the order made, undated ones as of the oldest day."""
    days = [r.day for r in records if r.day is not None]
    oldest, newest = min(days, default=0.0), max(days, default=0.0)
    out, cold, before = list[MadeAt](), 0.0, oldest
    for record in sorted(records, key=lambda r: oldest if r.day is None else r.day):
        day = oldest if record.day is None else record.day
        cold = colder(cold, day - before)
        out.append(MadeAt(record, newest - day, cold))
        before = day
    return out


def prior_shift(overall: int, within: int, cold: float, prior: Prior) -> float:
    """Give what the prior alone makes of the n-th piece with cold hands, on the log scale."""
    learned = prior.overall_slope[0] * math.log(overall)
    learned += prior.pattern_slope[0] * math.log(within)
    return prior.cold_hands[0] * cold - learned


@dataclass(slots=True)
class _Rows:
    """What is collected of one group: log ratios, and (overall, within, cold, age) of each."""

    log_ratios: list[list[float]] = field(default_factory=list)
    places: list[tuple[int, int, float, float]] = field(default_factory=list)


def piece_groups(made: Sequence[MadeAt], prior: Prior) -> tuple[list[PieceGroup], dict[str, int]]:
    """Sort pieces in the order made into groups, and count those of each pattern."""
    found: dict[tuple[Variant, tuple[int, ...], tuple[int, ...], tuple[float, ...]], _Rows] = {}
    counts: dict[str, int] = {}
    for overall, at in enumerate(made, 1):
        record = at.record
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
            shift = prior_shift(overall, within, at.cold, prior)
            rows = found.setdefault((record.variant, single, summed, guess_s), _Rows())
            rows.log_ratios.append([math.log(ratio) - shift for ratio in ratios])
            rows.places.append((overall, within, at.cold, at.age))
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
