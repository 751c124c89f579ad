"""The shift towards measured pieces against scipy's normal densities on a grid."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bench.craft.measuring import PIECE_SPREAD, PREDICTION_DOUBT, TAKE_UP_DOUBT, shift


@pytest.mark.parametrize("doubt", [PREDICTION_DOUBT, TAKE_UP_DOUBT])
@pytest.mark.parametrize("ratios", [[1.1], [0.92, 1.01, 0.97], [1.05] * 12])
def test_the_shift_is_the_posterior_mean(doubt: float, ratios: list[float]) -> None:
    """Prior times likelihoods, multiplied with scipy.stats.norm over a fine grid of log factors."""
    from scipy import stats

    grid = np.linspace(-0.8, 0.8, 80_001)
    density = stats.norm.logpdf(grid, 0, doubt)
    for ratio in ratios:
        density = density + stats.norm.logpdf(math.log(ratio), grid, PIECE_SPREAD)
    weight = np.exp(density - density.max())
    mean = float((grid * weight).sum() / weight.sum())
    found = shift([(60 * ratio, 60.0) for ratio in ratios], doubt)
    assert math.log(found.factor) == pytest.approx(mean, abs=1e-6)
    assert found.pieces == len(ratios)
