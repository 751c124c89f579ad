"""The scatter of pieces: weights of bad evenings, scale, stages against each other.

The scatter of a piece is a multivariate t over its stages, fitted by reweighting (Lange, Little
and Taylor 1989, "Robust statistical modeling using the t distribution", JASA 84, 881-896; cited
from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from bench.pace.design_matrix import N_STAGES, Array, PieceGroup
from bench.pace.partial_pooling import exchangeable
from bench.pace.prior import Prior
from bench.pace.records import Variant

SCALE_ROUNDS = 8
MOST_CORRELATION = 0.8


@dataclass(frozen=True, eq=False)
class ResidualScale:
    """The scatter of a piece over its stages, on the log scale.

    variance: its scale, squared. relative_sd: of each stage, to one another. correlation: of any
    two stages of a piece.
    """

    variance: float
    relative_sd: Array
    correlation: float

    @property
    def covariance(self) -> Array:
        """Scale matrix of the multivariate t, stages × stages."""
        together = exchangeable(N_STAGES, self.variance, self.correlation)
        return together * np.outer(self.relative_sd, self.relative_sd)


def residual_scale(
    groups: Sequence[PieceGroup],
    levels: Mapping[Variant, Array],
    common: Array,
    parameters: float,
    before: ResidualScale,
    prior: Prior,
) -> ResidualScale:
    """Set the pieces' weights (in place) and find a new scale, from the residuals of one fit.

    The variance is the weighted sum of squared residuals over the rows less the parameters used.

    Args:
        groups: the pieces.
        levels: fitted log level of each variant's stages.
        common: fitted coefficients of the shared covariates.
        parameters: how many of them the fit has used.
        before: the scale that the fit went by.
        prior: what is taken for granted.

    """
    n_rows = sum(group.log_ratios.size for group in groups)
    if not n_rows:
        return before
    residuals = [_residuals(group, levels[group.variant], common) for group in groups]
    distance, rows = [], []
    for group, r in zip(groups, residuals, strict=True):
        stage_rows, _ = group.stage_rows(levels[group.variant])
        precision = np.linalg.inv(stage_rows @ before.covariance @ stage_rows.T)
        distance.append(((r @ precision) * r).sum(axis=1))
        rows.append(np.full(len(r), r.shape[1]))
    squared, n = np.concatenate(distance), np.concatenate(rows)
    degrees_of_freedom = prior.scatter_degrees_of_freedom + n_rows - parameters
    known = prior.scatter_degrees_of_freedom * prior.scatter_sd**2 / before.variance
    # The scale belongs to the weights and they to it; begun at equal weights, so from above.
    growth = (known + squared.sum()) / degrees_of_freedom
    for _ in range(SCALE_ROUNDS):
        weights = (prior.tail + n) / (prior.tail + squared / growth + n * parameters / n_rows)
        growth = (known + weights @ squared) / degrees_of_freedom
    ends = np.cumsum([len(r) for r in residuals])[:-1]
    for group, own in zip(groups, np.split(weights, ends), strict=True):
        group.weights = own
    return _stages_apart(groups, residuals, before, float(growth), prior)


def _residuals(group: PieceGroup, level: Array, common: Array) -> Array:
    """Log ratios less what is fitted, pieces × rows."""
    rows, offset = group.stage_rows(level)
    shared = group.covariates @ common
    return np.asarray(group.log_ratios - (rows @ level + offset) - shared[:, None])


def _stages_apart(
    groups: Sequence[PieceGroup],
    residuals: Sequence[Array],
    before: ResidualScale,
    growth: float,
    prior: Prior,
) -> ResidualScale:
    """Scatter of the stages relative to each other, and their correlation within a piece.

    Both are drawn to the prior as by so many pieces as its degrees of freedom make.
    """
    squares, rows = np.zeros(N_STAGES), np.zeros(N_STAGES)
    pair_sum = pair_count = 0.0
    for group, r in zip(groups, residuals, strict=True):
        single = [*group.single]
        x, w = r[:, : len(single)] / before.relative_sd[single], group.weights
        squares[single] += w @ x**2
        rows[single] += len(x)
        if len(single) > 1:
            # All pairs of stages at once: sum² less the sum of squares.
            own = (x**2).sum(axis=1)
            pair_sum += w @ (x.sum(axis=1) ** 2 - own) / (len(single) - 1)
            pair_count += w @ own
    variance = growth * before.variance
    if squares.sum() <= 0:
        return ResidualScale(variance, before.relative_sd, before.correlation)
    few = prior.scatter_degrees_of_freedom / N_STAGES
    known = few * N_STAGES * squares.sum() / rows.sum()
    correlation = (known * prior.scatter_correlation + pair_sum) / (known + pair_count)
    absolute = squares * before.relative_sd**2
    ratio = (few + absolute * rows.sum() / absolute.sum()) / (few + rows)
    middle = np.exp(rows @ np.log(ratio) / rows.sum())
    return ResidualScale(
        variance,
        np.sqrt(ratio / middle),
        min(MOST_CORRELATION, max(0.0, float(correlation))),
    )
