"""The pieces sorted into cells that share their design, and the covariates of the regression."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bench.pace.algebra import Matrix, Vector, dot
from bench.pace.guess import guess
from bench.pace.prior import Prior
from bench.pace.records import STAGES, PieceRecord

N_STAGES = len(STAGES)
KNOTS = (0.0, 5.0, 15.0, 45.0, 135.0, 405.0)
"""Ages in days between which the drift is straight; beyond the last it stands still."""
N_COMMON = 2 + len(KNOTS) - 1
SIZE = N_STAGES + N_COMMON
"""Length of the maker's own vector: stage levels, two slopes, drift at the knots."""

Variant = tuple[str, str, str]
"""Pattern, size, colourway."""
Sparse = list[tuple[int, float]]


@dataclass(slots=True)
class Piece:
    """One piece in a cell: log ratios by row, covariates shared by its rows, weight."""

    y: Vector
    common: Sparse
    weight: float = 1.0


@dataclass(slots=True)
class Cell:
    """Pieces of one variant with the same rows known, so that they share their design."""

    variant: Variant
    single: tuple[int, ...]
    """Stages that have a row of their own."""
    rest: tuple[int, ...]
    """Stages that are known only as a sum, one more row; may be empty."""
    guess_s: tuple[float, ...]
    pieces: list[Piece] = field(default_factory=list)

    def design(self, level: Sequence[float]) -> tuple[Matrix, float]:
        """Rows over the stages, and the offset that the straightened sum needs at a level."""
        rows = [[1.0 if s == k else 0.0 for s in range(N_STAGES)] for k in self.single]
        if not self.rest:
            return rows, 0.0
        seconds = [self.guess_s[s] * math.exp(level[s]) for s in self.rest]
        whole = sum(seconds)
        row = [0.0] * N_STAGES
        for s, part in zip(self.rest, seconds, strict=True):
            row[s] = part / whole
        guessed = sum(self.guess_s[s] for s in self.rest)
        return [*rows, row], math.log(whole / guessed) - dot(row, level)


def common_covariates(overall: int, within: int, age: float) -> Sparse:
    """Covariates of the n-th piece overall and within its pattern (from 1), at an age in days."""
    out: Sparse = [(0, -math.log(overall)), (1, -math.log(within))]
    if age >= KNOTS[-1]:
        out.append((N_COMMON - 1, 1.0))
    elif age > 0:
        k = next(i for i, knot in enumerate(KNOTS) if knot > age)
        part = (age - KNOTS[k - 1]) / (KNOTS[k] - KNOTS[k - 1])
        if k > 1:
            out.append((k, 1 - part))
        out.append((k + 1, part))
    return out


def dense_covariates(overall: int, within: int, age: float) -> Vector:
    """Covariates of a piece as a whole vector."""
    out = [0.0] * N_COMMON
    for k, c in common_covariates(overall, within, age):
        out[k] = c
    return out


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


def sort_cells(
    records: Sequence[PieceRecord], prior: Prior, now: float
) -> tuple[list[Cell], dict[str, int]]:
    """Sort records into cells in the order made, and count the pieces of each pattern."""
    made, age_of = in_order(records, now)
    cells: dict[object, Cell] = {}
    counts: dict[str, int] = {}
    for overall, record in enumerate(made, 1):
        within = counts[record.pattern] = counts.get(record.pattern, 0) + 1
        seconds = guess(record.work)
        guess_s = tuple(seconds[s] for s in STAGES)
        rate = {t.stage: t.seconds / t.units for t in record.stages}
        single = tuple(k for k, s in enumerate(STAGES) if s in rate and guess_s[k] > 0)
        rest: tuple[int, ...] = ()
        shift = prior_shift(overall, within, prior)
        y = [
            math.log(rate[STAGES[k]] * record.work.units(STAGES[k]) / guess_s[k]) - shift
            for k in single
        ]
        if record.whole_s is not None and record.outcome != "given_up":
            left = record.whole_s - sum(t.seconds for t in record.stages)
            rest = tuple(k for k in range(N_STAGES) if k not in single and guess_s[k] > 0)
            if rest and left > 0:
                y.append(math.log(left / sum(guess_s[k] for k in rest)) - shift)
            else:
                rest = ()
        if not y:
            continue
        variant = (record.pattern, record.size, record.colourway)
        key = (variant, single, rest, guess_s)
        cell = cells.setdefault(key, Cell(variant, single, rest, guess_s))
        cell.pieces.append(Piece(y, common_covariates(overall, within, age_of(record))))
    return list(cells.values()), counts
