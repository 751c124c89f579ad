"""The scatter of pieces: weights of bad evenings, scale, stages against each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bench.pace.algebra import Matrix, Vector, dot, times
from bench.pace.cells import N_STAGES, Cell, Piece, Variant
from bench.pace.pooling import Component, effects, row_precision
from bench.pace.prior import Prior

SCALE_ROUNDS = 8


@dataclass(frozen=True)
class Shape:
    """The scatter of a piece over its stages: scale, stages against each other, correlation."""

    variance: float
    scatter: Vector
    shared: float

    @property
    def noise(self) -> Matrix:
        """Covariance of the stages (scale matrix of the multivariate t)."""
        n, s = range(N_STAGES), self.scatter
        return [
            [self.variance * s[i] * s[j] * (1.0 if i == j else self.shared) for j in n] for i in n
        ]


def reweigh(
    cells: Sequence[Cell],
    part: Component,
    used: float,
    shape: Shape,
    levels: dict[Variant, Vector],
    prior: Prior,
) -> Shape:
    """Set new weights and levels in place and give a new scatter, from one fit's residuals.

    The variance is the weighted sum of squared residuals over the rows less the parameters used.
    """
    common_mean, noise = part.mean[N_STAGES:], shape.noise
    n_rows = sum(len(p.y) for c in cells for p in c.pieces)
    if not n_rows:
        return shape
    hidden = used / n_rows
    left: list[tuple[Piece, Vector, float]] = []
    for cell in cells:
        level = levels[cell.variant] = effects(cell.variant, part)
        rows, offset = cell.design(level)
        precision = row_precision(rows, noise)
        fitted = times(rows, level)
        if cell.rest:
            fitted[-1] += offset
        for piece in cell.pieces:
            shift = sum([common_mean[i] * c for i, c in piece.common])
            r = [y - f - shift for y, f in zip(piece.y, fitted, strict=True)]
            far = sum([a * dot(row, r) for a, row in zip(r, precision, strict=True)])
            left.append((piece, r, far))
    freedom = prior.noise_freedom + n_rows - used
    before = prior.noise_freedom * prior.noise_sd**2 / shape.variance
    # The scale belongs to the weights and they to it; begun at equal weights, so from above.
    growth = (before + sum(far for _, _, far in left)) / freedom
    for _ in range(SCALE_ROUNDS):
        misfit = before
        for piece, r, far in left:
            n = len(r)
            piece.weight = (prior.tail + n) / (prior.tail + far / growth + n * hidden)
            misfit += piece.weight * far
        growth = misfit / freedom
    scatter, shared = _stages_apart(
        cells, left, shape, prior.noise_freedom / N_STAGES, prior.noise_shared
    )
    return Shape(growth * shape.variance, scatter, shared)


def _stages_apart(
    cells: Sequence[Cell],
    left: Sequence[tuple[Piece, Vector, float]],
    shape: Shape,
    few: float,
    prior_shared: float,
) -> tuple[Vector, float]:
    """Scatter of the stages relative to each other, and their correlation within a piece."""
    squares, rows_of = [0.0] * N_STAGES, [0] * N_STAGES
    pair_sum, pair_count = 0.0, 0.0
    residuals = iter(left)
    for cell in cells:
        scale = [shape.scatter[s] for s in cell.single]
        full = len(scale)
        for _ in cell.pieces:
            piece, r, _ = next(residuals)
            w, own, whole = piece.weight, 0.0, 0.0
            for s, x, d in zip(cell.single, r, scale, strict=False):
                x /= d
                squares[s] += w * x * x
                rows_of[s] += 1
                own += x * x
                whole += x
            if full > 1:
                # All pairs of stages at once: sum² less the sum of squares.
                pair_sum += w * (whole * whole - own) / (full - 1)
                pair_count += w * own
    known = few * N_STAGES
    n_rows = sum(rows_of)
    unit = sum(squares) / n_rows if n_rows else 0.0
    if unit <= 0:
        return shape.scatter, shape.shared
    shared = (known * unit * prior_shared + pair_sum) / (known * unit + pair_count)
    return _scatter(shape.scatter, squares, rows_of, few), min(0.8, max(0.0, shared))


def _scatter(old: Vector, squares: Vector, rows: Sequence[int], few: float) -> Vector:
    """Stages' scatter relative to each other, their mean over rows 1, drawn to 1 when few."""
    absolute = [q * s * s for q, s in zip(squares, old, strict=True)]
    if not sum(absolute):
        return old
    overall = sum(absolute) / sum(rows)
    ratio = [(few + q / overall) / (few + n) for q, n in zip(absolute, rows, strict=True)]
    middle = sum(n * math.log(x) for n, x in zip(rows, ratio, strict=True)) / sum(rows)
    return [math.sqrt(x / math.exp(middle)) for x in ratio]
