"""Chances of noticing a slip by weight, against scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from bench.craft import weight_proof
from bench.craft.weight_proof import BeadMass

CASES = [
    # bead g, doubt, scatter, count, resolution g, false alarms
    (0.0288, 0.0002, 0.0017, 60, 0.01, 0.05),
    (0.0288, 0.0, 0.0017, 254, 0.01, 0.05),
    (0.0667, 0.0005, 0.004, 16, 0.1, 0.05),
    (0.0037, 0.00005, 0.0002, 12, 0.001, 0.01),
    (0.0095, 0.0003, 0.0006, 40, 0.01, 0.2),
]


@pytest.mark.parametrize("case", CASES)
def test_chances_agree_with_scipy(case: tuple[float, float, float, int, float, float]) -> None:
    """scipy.stats.norm, mass by mass reading: the chance that a rounded reading fails."""
    from scipy import stats

    mean, doubt, scatter, count, step, rate = case
    mass = BeadMass(mean, doubt, scatter, "given")
    result = weight_proof.prove(weight_proof.expected([(count, mass)]), [mass], step, rate)
    sd = math.sqrt(count * scatter**2 + (count * doubt) ** 2)

    def fails(true_mean: float) -> float:
        readings = step * np.arange(
            math.floor((true_mean - 12 * sd) / step) - 1,
            math.ceil((true_mean + 12 * sd) / step) + 2,
        )
        chances = stats.norm.cdf(readings + step / 2, true_mean, sd) - stats.norm.cdf(
            readings - step / 2, true_mean, sd
        )
        wrong = (readings < result.least_g - step / 4) | (readings > result.most_g + step / 4)
        return float(chances[wrong].sum())

    assert result.false_alarm == pytest.approx(fails(count * mean), abs=1e-9)
    assert result.notices[0].missing == pytest.approx(fails((count - 1) * mean), abs=1e-9)
    assert result.notices[0].extra == pytest.approx(fails((count + 1) * mean), abs=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_the_readings_that_pass_are_those_of_a_likelihood_ratio_test(
    case: tuple[float, float, float, int, float, float],
) -> None:
    """Readings in the order of the ratio by scipy.stats.norm, until a right half passes enough.

    The most powerful test of its size: J. Neyman, E. S. Pearson, Phil. Trans. R. Soc. A 231
    (1933) 289-337 (from memory), against one bead too few and one too many, as likely.
    """
    from scipy import stats

    mean, doubt, scatter, count, step, rate = case
    mass = BeadMass(mean, doubt, scatter, "given")
    result = weight_proof.prove(weight_proof.expected([(count, mass)]), [mass], step, rate)
    sd = math.sqrt(count * scatter**2 + (count * doubt) ** 2)
    readings = np.arange(
        max(0, math.floor((count * mean - 6 * sd) / step)),
        math.ceil(count * mean / step + 6 * sd / step),
    )

    def chances(true_mean: float) -> NDArray[np.float64]:
        edges = (readings - 0.5) * step, (readings + 0.5) * step
        low, high = (np.asarray(stats.norm.cdf(edge, true_mean, sd)) for edge in edges)
        return np.where(readings == 0, high, high - low)

    right = chances(count * mean)
    wrong = chances((count - 1) * mean) + chances((count + 1) * mean)
    order = np.argsort(-right / np.maximum(wrong, 1e-300), kind="stable")
    passing = order[: np.searchsorted(np.cumsum(right[order]), 1 - rate) + 1]
    assert readings[passing].min() * step == pytest.approx(result.least_g)
    assert readings[passing].max() * step == pytest.approx(result.most_g)


def test_a_fine_scale_gives_the_textbook_power() -> None:
    """Without rounding the chance is Φ(δ/σ − z) + Φ(−δ/σ − z): scipy.stats.norm."""
    from scipy import stats

    mass = BeadMass(0.03, 0.0, 0.0015, "given")
    result = weight_proof.prove(weight_proof.expected([(100, mass)]), [mass], 1e-5)
    z, away = stats.norm.ppf(0.975), 0.03 / 0.015
    power = stats.norm.cdf(away - z) + stats.norm.cdf(-away - z)
    assert result.notices[0].missing == pytest.approx(power, abs=1e-3)


def test_simulated_halves_are_noticed_as_often_as_stated() -> None:
    """20 000 halves of 60 beads drawn one bead at a time, one bead missing, scale of 0.01 g."""
    mass = BeadMass(0.0288, 0.0, 0.0017, "given")
    result = weight_proof.prove(weight_proof.expected([(60, mass)]), [mass], 0.01)
    draws = np.random.default_rng(7).normal(mass.mean_g, mass.scatter_g, (20_000, 59)).sum(axis=1)
    readings = np.round(draws / 0.01) * 0.01
    noticed = np.mean((readings < result.least_g - 1e-9) | (readings > result.most_g + 1e-9))
    error = math.sqrt(result.notices[0].missing * (1 - result.notices[0].missing) / 20_000)
    assert abs(noticed - result.notices[0].missing) < 4 * error


def test_weighing_is_the_conjugate_normal_update() -> None:
    """Posterior by brute force: scipy's normal densities multiplied over a fine grid."""
    from scipy import stats

    before = BeadMass(0.03, 0.003, 0.0018, "given")
    after = weight_proof.weighed(before, 20, 0.64, 0.01)
    grid = np.linspace(0.015, 0.045, 60_001)
    sd = math.sqrt(before.scatter_g**2 / 20 + 0.01**2 / 12 / 20**2)
    dense = stats.norm.pdf(grid, 0.03, 0.003) * stats.norm.pdf(0.64 / 20, grid, sd)
    dense /= dense.sum()
    mean = float((grid * dense).sum())
    spread = math.sqrt(float(((grid - mean) ** 2 * dense).sum()))
    assert after.mean_g == pytest.approx(mean, rel=1e-6)
    assert after.doubt_g == pytest.approx(spread, rel=1e-5)
