"""The levels at which a maker makes some variants, as one component of the fit knows them.

A level is the log of the seconds of a variant's stages against the guess. Variants share the
maker's own level and, where they are of one pattern, the pattern's effects: so do their errors.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bench.pace.design_matrix import N_STAGES, SIZE, Array
from bench.pace.model import Model
from bench.pace.partial_pooling import Component, exchangeable
from bench.pace.records import Variant


@dataclass(frozen=True, eq=False)
class Places:
    """Where K variants stand among the effects of a model; −1 for what was not made.

    alike: K × K, 1 where two are of one pattern.
    """

    variants: NDArray[np.intp]
    patterns: NDArray[np.intp]
    alike: Array


def places_of(
    model: Model, patterns: Sequence[str | None], variants: Sequence[Variant | None]
) -> Places:
    """Where variants of these patterns stand; None for what has no name yet."""

    def places(names: Sequence[object], wanted: Sequence[object]) -> NDArray[np.intp]:
        at = {name: n for n, name in enumerate(names)}
        return np.array([at.get(name, -1) for name in wanted], dtype=np.intp)

    alike = np.array([[float(a == b) for b in patterns] for a in patterns])
    return Places(places(model.variants, variants), places(model.patterns, patterns), alike)


@dataclass(frozen=True, eq=False)
class Levels:
    """Joint posterior of the log level of K variants' stages, under one component.

    The level of a variant is mean + on_maker·(g − its mean) + on_pattern·(the pattern's own
    error) + the variant's own error, the same for all its stages.

    mean: K × stages. on_maker: K × stages × SIZE. on_pattern, pattern_covariance: K × stages ×
    stages. variant_variance: K. maker: covariance of g.
    """

    mean: Array
    on_maker: Array
    on_pattern: Array
    pattern_covariance: Array
    variant_variance: Array
    maker: Array
    alike: Array

    def covariance(self, common: Array) -> Array:
        """Of level and shared covariates' part together, K × stages × stages; common: K × …."""
        on_maker = self.on_maker.copy()
        on_maker[:, :, N_STAGES:] += common[:, None]
        return np.asarray(
            on_maker @ self.maker @ on_maker.mT
            + self.on_pattern @ self.pattern_covariance @ self.on_pattern.mT
            + self.variant_variance[:, None, None]
        )

    def variance(self, weights: Array, common: Array) -> float:
        """Of a weighted sum of levels, K × stages, and of shared covariates."""
        on_maker = np.einsum("ks,ksi->i", weights, self.on_maker)
        on_maker[N_STAGES:] += common
        on_pattern = np.einsum("ks,kst->kt", weights, self.on_pattern)
        together = self.alike @ on_pattern
        return float(
            on_maker @ self.maker @ on_maker
            + np.einsum("ks,kst,kt", on_pattern, self.pattern_covariance, together)
            + self.variant_variance @ weights.sum(axis=1) ** 2
        )


def levels_of(model: Model, part: Component, places: Places) -> Levels:
    """What one component knows of the levels of variants, made or not."""
    k, prior = len(places.variants), model.prior
    pattern_mean, pattern_slope = np.zeros((k, N_STAGES)), np.zeros((k, N_STAGES, SIZE))
    pattern_covariance = np.tile(
        exchangeable(N_STAGES, part.pattern_sd**2, prior.pattern_correlation), (k, 1, 1)
    )
    known, at = places.patterns >= 0, places.patterns[places.patterns >= 0]
    pattern_mean[known] = part.patterns.offset[at]
    pattern_slope[known] = part.patterns.slope[at]
    pattern_covariance[known] = part.patterns.covariance[at]
    variant_mean, variant_slope = np.zeros(k), np.zeros((k, SIZE))
    variant_variance = np.full(k, (prior.variant_share * part.pattern_sd) ** 2)
    known, at = places.variants >= 0, places.variants[places.variants >= 0]
    variant_mean[known] = part.variants.offset[at]
    variant_slope[known] = part.variants.slope[at]
    variant_variance[known] = part.variants.variance[at]

    on_pattern = np.eye(N_STAGES) - variant_slope[:, None, :N_STAGES]
    on_maker = on_pattern @ (np.eye(N_STAGES, SIZE) - pattern_slope)
    on_maker[:, :, N_STAGES:] -= variant_slope[:, None, N_STAGES:]
    offset = (on_pattern @ pattern_mean[:, :, None])[:, :, 0] + variant_mean[:, None]
    return Levels(
        offset + on_maker @ part.mean,
        on_maker,
        on_pattern,
        pattern_covariance,
        variant_variance,
        part.covariance,
        places.alike,
    )
