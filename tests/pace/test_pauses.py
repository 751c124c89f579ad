"""A small run of the measure that tests/speed/pace_pauses documents, at the size that fits here."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bench.pace.intervals import LEVEL
from tests.speed.pace_makers import Array
from tests.speed.pace_pauses import how_far

MAKERS, SEED = 150, 1
"""Each maker is drawn from the seed and its number, so that every run gives the same figures."""
KNOWN, PAUSES = (1, 30), (0.0, 180.0)
BAR = 3.0
"""Standard errors of a share of so many makers."""


@pytest.fixture(scope="module")
def far() -> Array:
    """How far next pieces lie from their forecasts: makers × pieces known × days of pause."""
    return np.array([how_far(SEED, number, KNOWN, PAUSES) for number in range(MAKERS)])


def off(far: Array, width: float = 1.0) -> Array:
    """How many standard errors intervals of so many times the width are off, known × pauses."""
    error = math.sqrt(LEVEL * (1 - LEVEL) / MAKERS)
    return np.asarray((np.mean(np.abs(far) <= width, axis=0) - LEVEL) / error)


def test_eight_in_ten_hold_with_few_and_many_pieces_and_after_half_a_year(far: Array) -> None:
    """Makers of a wider population than the model assumes: each share is 0.8 by the bar."""
    assert np.all(np.abs(off(far)) <= BAR), off(far)


@pytest.mark.parametrize("width", [0.7, 1.5])
def test_the_bar_sees_a_wrong_width(far: Array, width: float) -> None:
    """Intervals three tenths too narrow, or half as wide again, would fail it in every cell."""
    assert np.all(np.abs(off(far, width)) > BAR), off(far, width)
