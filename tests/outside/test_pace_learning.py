"""The learning curve against published numbers of an 80 % curve.

Two models share that name. In the unit model the time of the n-th piece falls to 80 % when n
doubles; in Wright's (1936, "Factors affecting the cost of airplanes", J. Aeron. Sci. 3,
122-128) the average of the first n does. The pace model is the unit model.
"""

from __future__ import annotations

import math

import pytest

from bench.craft.stages import HANDS_ON
from bench.pace.model import fit
from bench.pace.predictive import Job, forecast
from bench.pace.prior import Prior
from bench.pace.records import PieceRecord, StageTime, Work

WORK = Work(128, 8, 72)
EXPONENT = -math.log2(0.8)

UNIT = {1: 100.0, 2: 80.0, 3: 70.21, 4: 64.0, 8: 51.20, 10: 47.65, 16: 40.96, 100: 22.71}
UNIT_TOTAL = {2: 180.0, 3: 250.2, 4: 314.2, 8: 534.6, 10: 631.5, 16: 892.0, 100: 3265.1}
WRIGHT_TOTAL = {2: 160.0, 3: 210.6, 4: 256.0, 8: 409.6, 10: 476.5, 16: 655.4, 100: 2270.6}
"""Learning-curve tables as found in textbooks; the first piece takes 100."""

CERTAIN = Prior(
    level_sd=1e-6,
    stage_sd=1e-6,
    overall_slope=(0.0, 1e-6),
    pattern_slope=(EXPONENT, 1e-6),
    pattern_sd=(1e-6, 1e-6),
    drift_sd=(1e-6, 1e-6),
    scatter_sd=1e-6,
)
"""A maker on an 80 % curve, and nothing else uncertain."""


def seconds(pieces: int) -> float:
    """Forecast total of the first pieces, with nothing recorded."""
    return forecast(fit([], CERTAIN), [Job("x", "", "", WORK)] * pieces).quantile(0.5)


@pytest.mark.parametrize("n", sorted(UNIT))
def test_unit_times(n: int) -> None:
    """The n-th piece takes what the table of the unit model says."""
    nth = seconds(n) - (seconds(n - 1) if n > 1 else 0.0)
    assert 100 * nth / seconds(1) == pytest.approx(UNIT[n], abs=0.006)


@pytest.mark.parametrize("n", sorted(UNIT_TOTAL))
def test_totals(n: int) -> None:
    """The first n together take the total of the unit model, not that of Wright's."""
    total = 100 * seconds(n) / seconds(1)
    assert total == pytest.approx(UNIT_TOTAL[n], abs=0.06)
    assert abs(total - WRIGHT_TOTAL[n]) > 10


def test_slope_is_found() -> None:
    """From 50, 40 and 32 minutes for pieces 1, 2 and 4 the fit finds the 80 % curve.

    The three times are a published example (business-analysis-made-easy.com); piece 3 was
    timed by the unit model.
    """
    minutes = {1: 50.0, 2: 40.0, 3: 50.0 * 3**-EXPONENT, 4: 32.0}
    records = [
        PieceRecord(
            "x",
            "",
            "",
            WORK,
            0.0,
            tuple(StageTime(s, WORK.units(s), 60 * m / len(HANDS_ON)) for s in HANDS_ON),
        )
        for m in minutes.values()
    ]
    open_minded = Prior(
        level_sd=10.0,
        stage_sd=10.0,
        overall_slope=(0.0, 1e-6),
        pattern_slope=(0.0, 10.0),
        pattern_sd=(1e-6, 1e-6),
        drift_sd=(1e-6, 1e-6),
        scatter_sd=1e-3,
    )
    model = fit(records, open_minded)
    eighth = forecast(model, [Job("x", "", "", WORK)] * 4).quantile(0.5)
    expected = sum(50.0 * n**-EXPONENT for n in (5, 6, 7, 8))
    assert eighth / 60 == pytest.approx(expected, rel=1e-4)
