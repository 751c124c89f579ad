"""Partial pooling: the maker's own vector with patterns and variants eliminated one by one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from bench.pace.algebra import Matrix, Vector, dot, exchangeable_inverse, inverse, quadratic, times
from bench.pace.cells import KNOTS, N_COMMON, N_STAGES, SIZE, Cell, Variant
from bench.pace.prior import Prior


@dataclass(frozen=True)
class PatternPosterior:
    """A pattern's four stage effects given the maker's vector g: offset − slope·g, cov."""

    offset: Vector
    slope: Matrix
    cov: Matrix


@dataclass(frozen=True)
class VariantPosterior:
    """A variant's effect given its pattern's effects and g: offset − slope·(g with effects)."""

    offset: float
    slope: Vector
    variance: float


@dataclass(frozen=True)
class Component:
    """The posterior for one pair of spreads from the grid."""

    chance: float
    pattern_sd: float
    drift_sd: float
    mean: Vector
    cov: Matrix
    patterns: dict[str, PatternPosterior]
    variants: dict[tuple[str, ...], VariantPosterior]


def row_precision(rows: Matrix, noise: Matrix) -> Matrix:
    """Inverse covariance of a cell's rows, from that of the stages; to be read only.

    Most cells have the same rows, so the last few are remembered.
    """
    return _row_precision(tuple(map(tuple, rows)), tuple(map(tuple, noise)))


@lru_cache(maxsize=64)
def _row_precision(
    rows: tuple[tuple[float, ...], ...], noise: tuple[tuple[float, ...], ...]
) -> Matrix:
    spread = [[dot(line, row) for line in noise] for row in rows]
    return inverse([[dot(row, s) for s in spread] for row in rows])[0]


@dataclass
class _Sums:
    """Weighted sums of squares and products of one group of pieces."""

    square: Matrix
    product: Vector
    quad: float

    @classmethod
    def empty(cls) -> _Sums:
        return cls([[0.0] * SIZE for _ in range(SIZE)], [0.0] * SIZE, 0.0)

    def add(self, other: _Sums) -> None:
        for mine, theirs in zip(self.square, other.square, strict=True):
            mine[:] = [a + b for a, b in zip(mine, theirs, strict=True)]
        self.product = [a + b for a, b in zip(self.product, other.product, strict=True)]
        self.quad += other.quad


def group_sums(
    cells: Sequence[Cell], noise: Matrix, levels: dict[Variant, Vector]
) -> dict[Variant, _Sums]:
    """Sum up each variant; `levels` are where sums of several stages are straightened."""
    groups: dict[Variant, _Sums] = {}
    for cell in cells:
        sums = groups.setdefault(cell.variant, _Sums.empty())
        rows, offset = cell.design(levels.get(cell.variant, [0.0] * N_STAGES))
        precision = row_precision(rows, noise)
        each = [sum(row) for row in precision]
        n = len(rows)
        weight, squares = 0.0, [[0.0] * N_COMMON for _ in range(N_COMMON)]
        covariates, cov_y, y_sum = [0.0] * N_COMMON, [0.0] * N_COMMON, [0.0] * n
        for piece in cell.pieces:
            w, common = piece.weight, piece.common
            y = piece.y
            if cell.rest:
                y = [*y[:-1], y[-1] - offset]
            weight += w
            pulled = w * dot(each, y)
            for i, ci in common:
                covariates[i] += w * ci
                cov_y[i] += ci * pulled
                line = squares[i]
                for j, cj in common:
                    line[j] += w * ci * cj
            for i, yi in enumerate(y):
                y_sum[i] += w * yi
            sums.quad += w * sum(yi * dot(row, y) for yi, row in zip(y, precision, strict=True))
        _spread(sums, rows, precision, each, weight, covariates, squares, cov_y, y_sum)
    return groups


def _spread(
    sums: _Sums,
    rows: Matrix,
    precision: Matrix,
    each: Vector,
    weight: float,
    covariates: Vector,
    squares: Matrix,
    cov_y: Vector,
    y_sum: Vector,
) -> None:
    """Add a cell's sums over its rows to those over the maker's vector."""
    across = [[row[s] for row in rows] for s in range(N_STAGES)]
    spread = [times(precision, column) for column in across]
    total = sum(each)
    for s in range(N_STAGES):
        line = sums.square[s]
        for r in range(N_STAGES):
            line[r] += weight * dot(across[r], spread[s])
        pull = dot(across[s], each)
        for k in range(N_COMMON):
            line[N_STAGES + k] += pull * covariates[k]
            sums.square[N_STAGES + k][s] += pull * covariates[k]
        sums.product[s] += dot(spread[s], y_sum)
    for k in range(N_COMMON):
        line = sums.square[N_STAGES + k]
        for m in range(N_COMMON):
            line[N_STAGES + m] += total * squares[k][m]
        sums.product[N_STAGES + k] += cov_y[k]


@dataclass
class _Reduced:
    """Everything but the maker's own vector eliminated, for one spread of patterns."""

    pattern_sd: float
    total: _Sums
    log_det: float
    patterns: dict[str, PatternPosterior]
    variants: dict[tuple[str, ...], VariantPosterior]


def eliminate(groups: dict[Variant, _Sums], pattern_sd: float, prior: Prior) -> _Reduced:
    """Integrate out the effects of variants, then of patterns, for one spread of patterns."""
    variant_var = (prior.variant_share * pattern_sd) ** 2
    by_pattern: dict[str, _Sums] = {}
    out = _Reduced(pattern_sd, _Sums.empty(), 0.0, {}, {})
    for variant, sums in groups.items():
        row = [sum(column) for column in zip(*sums.square[:N_STAGES], strict=True)]
        precision = 1 / variant_var + sum(row[:N_STAGES])
        seen = sum(sums.product[:N_STAGES])
        slope = [r / precision for r in row]
        out.variants[variant] = VariantPosterior(seen / precision, slope, 1 / precision)
        out.log_det += math.log(precision * variant_var)
        left = by_pattern.setdefault(variant[0], _Sums.empty())
        left.add(sums)
        for line, r in zip(left.square, row, strict=True):
            line[:] = [a - r * b for a, b in zip(line, slope, strict=True)]
        left.product = [a - seen * b for a, b in zip(left.product, slope, strict=True)]
        left.quad -= seen * seen / precision
    inner = exchangeable_inverse(N_STAGES, pattern_sd**2, prior.pattern_shared)
    inner_det = inverse(inner)[1]
    for pattern, sums in by_pattern.items():
        top = sums.square[:N_STAGES]
        cov, log_det = inverse(
            [[a + b for a, b in zip(x, y, strict=False)] for x, y in zip(inner, top, strict=True)]
        )
        out.log_det += log_det - inner_det
        seen_vector = sums.product[:N_STAGES]
        offset = times(cov, seen_vector)
        columns = list(zip(*top, strict=True))
        slope = [
            [c0 * x0 + c1 * x1 + c2 * x2 + c3 * x3 for x0, x1, x2, x3 in columns]
            for c0, c1, c2, c3 in cov
        ]
        out.patterns[pattern] = PatternPosterior(offset, slope, cov)
        # inner·cov = 1 − top·cov, without the difference of two nearly equal large numbers.
        kept = [[dot(row, column) for column in zip(*cov, strict=True)] for row in inner]
        rest = [times(kept, list(column)) for column in columns]
        down = list(zip(*slope, strict=True))
        common = [
            [
                a - c0 * x0 - c1 * x1 - c2 * x2 - c3 * x3
                for a, (x0, x1, x2, x3) in zip(line[N_STAGES:], down[N_STAGES:], strict=True)
            ]
            for line, (c0, c1, c2, c3) in zip(
                sums.square[N_STAGES:], columns[N_STAGES:], strict=True
            )
        ]
        sums.square = [
            *([column[s] for column in rest] for s in range(N_STAGES)),
            *([*left, *line] for left, line in zip(rest[N_STAGES:], common, strict=True)),
        ]
        sums.product = [
            *times(kept, seen_vector),
            *(
                a - dot(column, offset)
                for a, column in zip(sums.product[N_STAGES:], columns[N_STAGES:], strict=True)
            ),
        ]
        sums.quad -= dot(seen_vector, offset)
        out.total.add(sums)
    return out


def _prior_precision(drift_sd: float, prior: Prior) -> Matrix:
    out = [[0.0] * SIZE for _ in range(SIZE)]
    level, own = prior.level_sd**2, prior.stage_sd**2
    stages = exchangeable_inverse(N_STAGES, level + own, level / (level + own))
    for s in range(N_STAGES):
        out[s][:N_STAGES] = stages[s]
    out[N_STAGES][N_STAGES] = prior.overall_slope[1] ** -2
    out[N_STAGES + 1][N_STAGES + 1] = prior.pattern_slope[1] ** -2
    first = N_STAGES + 2
    for k in range(1, len(KNOTS)):
        step = 1 / (drift_sd**2 * (KNOTS[k] - KNOTS[k - 1]) / 100)
        at = first + k - 1
        out[at][at] += step
        if k > 1:
            out[at - 1][at - 1] += step
            out[at][at - 1] -= step
            out[at - 1][at] -= step
    return out


def solve(
    reduced: _Reduced, drift_sd: float, prior: Prior, a: float, b0: float
) -> tuple[float, Component]:
    """Log evidence and posterior for one pair of spreads.

    The evidence is that of a normal with inverse gamma scale, a its posterior shape and b0 its
    prior rate.
    """
    before = _prior_precision(drift_sd, prior)
    prior_det = inverse(before)[1]
    precision = [
        [a + b for a, b in zip(x, y, strict=True)]
        for x, y in zip(before, reduced.total.square, strict=True)
    ]
    cov, log_det = inverse(precision)
    mean = times(cov, reduced.total.product)
    misfit = max(0.0, reduced.total.quad - dot(mean, reduced.total.product))
    evidence = -0.5 * (reduced.log_det + log_det - prior_det) - a * math.log(b0 + misfit / 2)
    component = Component(
        chance=0.0,
        pattern_sd=reduced.pattern_sd,
        drift_sd=drift_sd,
        mean=mean,
        cov=cov,
        patterns=reduced.patterns,
        variants=reduced.variants,
    )
    return evidence, component


def effects(variant: Variant, part: Component) -> Vector:
    """Posterior mean of everything about a variant that does not change from piece to piece."""
    g = part.mean
    level = g[:N_STAGES]
    pattern = part.patterns.get(variant[0])
    if pattern is not None:
        level = [
            x + o - dot(s, g) for x, o, s in zip(level, pattern.offset, pattern.slope, strict=True)
        ]
    own = part.variants.get(variant)
    if own is None:
        return level
    effect = own.offset - dot(own.slope, [*level, *g[N_STAGES:]])
    return [x + effect for x in level]


def parameters(part: Component, prior: Prior) -> float:
    """How many free parameters the effects amount to: prior precision times posterior covariance.

    Each effect counts as 1 less its posterior variance over its prior one.
    """
    before = _prior_precision(part.drift_sd, prior)
    used = SIZE - sum(dot(x, y) for x, y in zip(before, part.cov, strict=True))
    variance = part.pattern_sd**2
    inner = exchangeable_inverse(N_STAGES, variance, prior.pattern_shared)
    off = inner[0][1]
    own = inner[0][0] - off
    for pattern in part.patterns.values():
        together = [sum(column) for column in zip(*pattern.slope, strict=True)]
        used += N_STAGES - sum(dot(x, y) for x, y in zip(inner, pattern.cov, strict=True))
        used -= own * sum(quadratic(part.cov, row) for row in pattern.slope)
        used -= off * quadratic(part.cov, together)
    for variant, effect in part.variants.items():
        pattern = part.patterns[variant[0]]
        stages = effect.slope[:N_STAGES]
        maker = list(effect.slope)
        for a, row in zip(stages, pattern.slope, strict=True):
            maker = [m - a * k for m, k in zip(maker, row, strict=True)]
        spread = effect.variance + quadratic(pattern.cov, stages) + quadratic(part.cov, maker)
        used += 1 - spread / (variance * prior.variant_share**2)
    return used
