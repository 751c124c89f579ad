"""Partial pooling: the maker's own coefficients with the effects of patterns and variants.

The log ratios of a piece are X g + R b + u + scatter: g are the maker's own coefficients (a level
for each stage, then those of the shared covariates), b the effects of its pattern on the stages,
u the effect of its variant on all of them. The effects are normal with mean 0, so that patterns
borrow from each other. They are eliminated one after the other (block elimination of the normal
equations), first the variants', then the patterns', so that the work is linear in both.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bench.pace.design_matrix import KNOTS, N_STAGES, SIZE, Array, PieceGroup, drift_weights
from bench.pace.prior import Prior
from bench.pace.records import Variant


def inverse(m: Array) -> tuple[Array, Array]:
    """Inverse and log determinant of symmetric positive definite matrices, … × n × n.

    By Cholesky's factor, which bad scaling of the rows does not harm. Raises LinAlgError where
    a matrix is not positive definite.
    """
    factor = np.linalg.cholesky(m)
    half = np.linalg.inv(factor)
    log_det = 2 * np.log(np.diagonal(factor, axis1=-2, axis2=-1)).sum(axis=-1)
    return half.mT @ half, log_det


def exchangeable(n: int, variance: float, shared: float) -> Array:
    """Covariance n × n of equal variances and correlations."""
    return variance * ((1 - shared) * np.eye(n) + shared)


def coefficient_prior(drift_sd: float, span_days: float, prior: Prior) -> Array:
    """Prior covariance of the maker's coefficients: levels, slopes, cold hands, a random walk.

    The levels are those of the newest piece and the walk leads back from it, but what is taken
    for granted of them belongs to the first piece, before the maker had drifted anywhere.

    drift_sd: of the walk over 100 days. span_days: from the first piece to the newest.
    """
    out = np.zeros((SIZE, SIZE))
    level, own = prior.level_sd**2, prior.stage_sd**2
    out[:N_STAGES, :N_STAGES] = exchangeable(N_STAGES, level + own, level / (level + own))
    out[N_STAGES, N_STAGES] = prior.overall_slope[1] ** 2
    out[N_STAGES + 1, N_STAGES + 1] = prior.pattern_slope[1] ** 2
    out[N_STAGES + 2, N_STAGES + 2] = prior.cold_hands[1] ** 2
    ages = np.array(KNOTS[1:])
    walk = slice(-len(ages), None)
    out[walk, walk] = drift_sd**2 / 100 * np.minimum.outer(ages, ages)
    # Level at the newest piece: level at the first one less the walk back to it.
    first = drift_weights(span_days)[0]
    together = out[walk, walk] @ first
    out[:N_STAGES, :N_STAGES] += first @ together
    out[:N_STAGES, walk] -= together
    out[walk, :N_STAGES] -= together[:, None]
    return out


@dataclass(frozen=True, eq=False)
class NormalEquations:
    """Weighted sums over the pieces of each variant, V variants of which each has a pattern.

    square: V × SIZE × SIZE, Σ X'ΛX; product: V × SIZE, Σ X'Λy; quadratic: V, Σ y'Λy, with Λ the
    weighted precision of a piece's rows. pattern_of: V, the number of each one's pattern.
    """

    variants: tuple[Variant, ...]
    patterns: tuple[str, ...]
    pattern_of: NDArray[np.intp]
    square: Array
    product: Array
    quadratic: Array


def normal_equations(
    groups: Sequence[PieceGroup], scatter: Array, levels: Mapping[Variant, Array]
) -> NormalEquations:
    """Sum up each variant.

    Args:
        groups: the pieces.
        scatter: covariance of the scatter over the stages.
        levels: log level of each variant's stages, at which sums of stages are made linear; 0
            where there is none.

    """
    variants = tuple(dict.fromkeys(group.variant for group in groups))
    patterns = tuple(dict.fromkeys(variant.pattern for variant in variants))
    at = {variant: n for n, variant in enumerate(variants)}
    square = np.zeros((len(variants), SIZE, SIZE))
    product = np.zeros((len(variants), SIZE))
    quadratic = np.zeros(len(variants))
    for group in groups:
        n, w, c = at[group.variant], group.weights, group.covariates
        rows, offset = group.stage_rows(levels.get(group.variant, np.zeros(N_STAGES)))
        y = group.log_ratios - offset
        precision = np.linalg.inv(rows @ scatter @ rows.T)
        by_row = precision.sum(axis=0)
        mixed = np.outer(rows.T @ by_row, w @ c)
        square[n, :N_STAGES, :N_STAGES] += w.sum() * rows.T @ precision @ rows
        square[n, :N_STAGES, N_STAGES:] += mixed
        square[n, N_STAGES:, :N_STAGES] += mixed.T
        square[n, N_STAGES:, N_STAGES:] += by_row.sum() * (c.T * w) @ c
        product[n, :N_STAGES] += rows.T @ precision @ (w @ y)
        product[n, N_STAGES:] += (w * (y @ by_row)) @ c
        quadratic[n] += w @ ((y @ precision) * y).sum(axis=1)
    numbers = {pattern: n for n, pattern in enumerate(patterns)}
    pattern_of = np.array([numbers[v.pattern] for v in variants], dtype=np.intp)
    return NormalEquations(variants, patterns, pattern_of, square, product, quadratic)


@dataclass(frozen=True, eq=False)
class PatternEffects:
    """Effects of P patterns on the stages given g: normal, mean offset − slope g.

    offset: P × stages; slope: P × stages × SIZE; covariance: P × stages × stages.
    """

    offset: Array
    slope: Array
    covariance: Array


@dataclass(frozen=True, eq=False)
class VariantEffects:
    """Effects of V variants given the level of their pattern and g: mean offset − slope (level, g).

    offset: V; slope: V × SIZE, over the pattern's level by stage, then the shared covariates'
    coefficients; variance: V.
    """

    offset: Array
    slope: Array
    variance: Array


@dataclass(frozen=True, eq=False)
class Eliminated:
    """The normal equations of g alone: patterns and variants integrated out, for one spread.

    log_det: of their posterior precision relative to their prior one.
    """

    pattern_sd: float
    square: Array
    product: Array
    quadratic: float
    log_det: float
    patterns: PatternEffects
    variants: VariantEffects


def eliminate(sums: NormalEquations, pattern_sd: float, prior: Prior) -> Eliminated:
    """Integrate out the effects of variants, then those of patterns, for one spread of patterns."""
    stages, rest = slice(N_STAGES), slice(N_STAGES, None)
    variant_variance = (prior.variant_share * pattern_sd) ** 2
    row = sums.square[:, stages].sum(axis=1)
    seen = sums.product[:, stages].sum(axis=1)
    precision = 1 / variant_variance + row[:, stages].sum(axis=1)
    variants = VariantEffects(seen / precision, row / precision[:, None], 1 / precision)
    log_det = np.log(precision * variant_variance).sum()

    n = len(sums.patterns)
    square, product = np.zeros((n, SIZE, SIZE)), np.zeros((n, SIZE))
    np.add.at(square, sums.pattern_of, sums.square - row[:, :, None] * variants.slope[:, None])
    np.add.at(product, sums.pattern_of, sums.product - seen[:, None] * variants.slope)
    quadratic = sums.quadratic.sum() - seen @ variants.offset

    before = exchangeable(N_STAGES, pattern_sd**2, prior.pattern_correlation)
    inner, before_det = inverse(before)
    across, pulled = square[:, stages], product[:, stages]
    covariance, after_det = inverse(inner + across[:, :, stages])
    log_det += (after_det + before_det).sum()
    patterns = PatternEffects(
        (covariance @ pulled[:, :, None])[:, :, 0], covariance @ across, covariance
    )
    quadratic -= (pulled * patterns.offset).sum()
    # inner·covariance = 1 − across·covariance, without the difference of two nearly equal numbers.
    kept = inner @ covariance
    left = np.zeros((SIZE, SIZE))
    left[stages] = (kept @ across).sum(axis=0)
    left[rest, stages] = left[stages, rest].T
    down = across[:, :, rest].mT
    left[rest, rest] = (square[:, rest, rest] - down @ patterns.slope[:, :, rest]).sum(axis=0)
    pull = np.append(
        (kept @ pulled[:, :, None]).sum(axis=(0, 2)),
        (product[:, rest] - (down @ patterns.offset[:, :, None])[:, :, 0]).sum(axis=0),
    )
    return Eliminated(pattern_sd, left, pull, float(quadratic), float(log_det), patterns, variants)


@dataclass(frozen=True, eq=False)
class Component:
    """The posterior for one pair of spreads from the grid.

    chance: of that pair. pattern_sd, drift_sd: the spreads. span_days: as for the prior. mean,
    covariance: of g, SIZE and SIZE × SIZE. patterns, variants: their effects given g, in the order
    of the model's names.
    """

    chance: float
    pattern_sd: float
    drift_sd: float
    span_days: float
    mean: Array
    covariance: Array
    patterns: PatternEffects
    variants: VariantEffects


def solve(
    reduced: Eliminated,
    drift_sd: float,
    span_days: float,
    prior: Prior,
    shape: float,
    rate: float,
) -> tuple[float, Component]:
    """Log evidence and posterior for one pair of spreads.

    The evidence is that of a normal with inverse gamma scale.

    Args:
        reduced: the equations of g for a spread of patterns.
        drift_sd: spread of the drift over 100 days.
        span_days: from the first piece to the newest.
        prior: what is taken for granted.
        shape: posterior shape of the scale.
        rate: prior rate of the scale.

    """
    before, before_det = inverse(coefficient_prior(drift_sd, span_days, prior))
    covariance, after_det = inverse(before + reduced.square)
    mean = covariance @ reduced.product
    misfit = max(0.0, reduced.quadratic - float(mean @ reduced.product))
    log_det = reduced.log_det + float(after_det + before_det)
    evidence = -0.5 * log_det - shape * math.log(rate + misfit / 2)
    return evidence, Component(
        0.0,
        reduced.pattern_sd,
        drift_sd,
        span_days,
        mean,
        covariance,
        reduced.patterns,
        reduced.variants,
    )


def stage_levels(part: Component, pattern_of: NDArray[np.intp]) -> Array:
    """Posterior mean of what does not change from piece to piece, variants × stages."""
    levels = part.mean[:N_STAGES] + part.patterns.offset - part.patterns.slope @ part.mean
    levels = levels[pattern_of]
    slope = part.variants.slope
    effect = part.variants.offset - (slope[:, :N_STAGES] * levels).sum(axis=1)
    effect -= slope[:, N_STAGES:] @ part.mean[N_STAGES:]
    return np.asarray(levels + effect[:, None])


def effective_parameters(part: Component, pattern_of: NDArray[np.intp], prior: Prior) -> float:
    """How many free parameters the effects amount to: prior precision times posterior covariance.

    Each effect counts as 1 less its posterior variance over its prior one.
    """
    before, _ = inverse(coefficient_prior(part.drift_sd, part.span_days, prior))
    used = SIZE - float((before * part.covariance).sum())
    patterns, variants = part.patterns, part.variants
    inner, _ = inverse(exchangeable(N_STAGES, part.pattern_sd**2, prior.pattern_correlation))
    own = patterns.covariance + patterns.slope @ part.covariance @ patterns.slope.mT
    used += N_STAGES * len(own) - float((inner * own).sum())
    stages = variants.slope[:, None, :N_STAGES]
    maker = variants.slope - (stages @ patterns.slope[pattern_of])[:, 0]
    spread = variants.variance + quadratic_forms(part.covariance, maker)
    spread += quadratic_forms(patterns.covariance[pattern_of], stages[:, 0])
    return used + float((1 - spread / (part.pattern_sd * prior.variant_share) ** 2).sum())


def quadratic_forms(m: Array, vectors: Array) -> Array:
    """V'Mv of each vector of … × n, with one matrix or one for each of the first axis."""
    return np.asarray(((m @ vectors[..., None])[..., 0] * vectors).sum(axis=-1))
