"""Prediction intervals against published worked examples, and Student's t against scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bench.pace.intervals import t_chance, t_quantile
from bench.pace.model import Model, fit
from bench.pace.predictive import Job, forecast
from bench.pace.prior import Prior
from bench.pace.records import PieceRecord, StageTime, Work

WORK = Work(128, 8, 72)
FINISH_GUESS_S = 1200.0
SMALL = 1e-4
"""Data are laid on the log scale this small, where logs and seconds are one straight line."""
JOB = Job("x", "", "", WORK, (("finish", 1.0),))

FLAT = Prior(
    level_sd=1e3,
    stage_sd=1e3,
    overall_slope=(0.0, 1e-9),
    pattern_slope=(0.0, 1e-9),
    pattern_sd=(1e-9, 1e-9),
    drift_sd=(1e-9, 1e-9),
    scatter_degrees_of_freedom=1e-12,
    tail=1e12,
)
"""A prior that says nothing, and normal scatter."""


def fitted(n: int, mean: float, sd: float) -> Model:
    """Fit the model to n values that have exactly this mean and standard deviation."""
    values = np.linspace(-1.0, 1.0, n)
    values = mean + sd * values / values.std(ddof=1)
    return fit(
        [
            PieceRecord(
                "x",
                "",
                "",
                WORK,
                0.0,
                (StageTime("finish", 1, FINISH_GUESS_S * math.exp(SMALL * value)),),
            )
            for value in values
        ],
        FLAT,
    )


def interval(model: Model, level: float, pieces: int = 1) -> tuple[float, float]:
    """Low and high of the mean of so many next values, back on the scale of the data."""
    said = forecast(model, [JOB] * pieces).interval(level)
    low, high = (math.log(s / pieces / FINISH_GUESS_S) / SMALL for s in (said.low_s, said.high_s))
    return low, high


@pytest.mark.parametrize(
    ("n", "mean", "sd", "published", "tolerance"),
    [
        # Montgomery & Runger, Applied Statistics and Probability for Engineers, Example 8-8.
        pytest.param(22, 13.71, 3.55, (6.16, 21.26), 0.006, id="Montgomery & Runger"),
        # CRAN package statpsych, manual, pi.score1(.05, 24.5, 3.65, 40).
        pytest.param(40, 24.5, 3.65, (17.02546, 31.97454), 0.0005, id="statpsych"),
        # Lecture notes, gradebuddy.com 43292: 1312 ± 59.
        pytest.param(10, 1312.0, 25.0, (1253.0, 1371.0), 0.5, id="lecture"),
    ],
)
def test_next_value(
    n: int, mean: float, sd: float, published: tuple[float, float], tolerance: float
) -> None:
    """The 95 % interval for the next value is the published one."""
    assert interval(fitted(n, mean, sd), 0.95) == pytest.approx(published, abs=tolerance)


def test_mean_of_the_next_five() -> None:
    """The interval for the mean of several next values lets their own scatter cancel, no more.

    Berthouex & Brown, Statistics for Environmental Engineers, Example 21.2: 26.3 … 30.5.
    """
    got = interval(fitted(5, 28.4, 1.18), 0.95, pieces=5)
    assert got == pytest.approx((26.3, 30.5), abs=0.05)


@pytest.mark.parametrize("freedom", [4.0, 5.0, 8.0, 12.0, 30.0, 500.0])
@pytest.mark.parametrize("p", [0.025, 0.1, 0.5, 0.8, 0.9, 0.95, 0.975])
def test_t_quantile(p: float, freedom: float) -> None:
    """Quantiles of Student's t agree with scipy's to 0.001."""
    import scipy.stats

    assert t_quantile(p, freedom) == pytest.approx(scipy.stats.t.ppf(p, freedom), abs=0.001)


@pytest.mark.parametrize("freedom", [4.0, 5.5, 30.0])
def test_t_chance(freedom: float) -> None:
    """Chances of Student's t agree with scipy between its ends, which are 0.001 and 0.999."""
    import scipy.stats

    for x in (-2.5, -1.0, 0.0, 0.3, 1.7, 2.6):
        assert t_chance(x, freedom) == pytest.approx(scipy.stats.t.cdf(x, freedom), abs=0.0005)
    assert (t_chance(-1e9, freedom), t_chance(1e9, freedom)) == (0.001, 0.999)
