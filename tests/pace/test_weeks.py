"""By which day work is done, at set hours and at hours that vary as they did."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bench.pace import weeks
from bench.pace.intervals import Forecast
from bench.pace.weeks import (
    LEAST_WEEKS,
    MOST_WEEKS,
    Weeks,
    chance_by,
    finish,
    weeks_of,
    whole_weeks,
)

SURE = Forecast(math.log(36_000.0), 1e-9, 100.0)
"""Ten hours of work, for certain."""
UNSURE = Forecast(math.log(60 * 3600.0), 0.15, 12.0)
"""About sixty hours."""


def uneven(rng: np.random.Generator, mean: float, weeks: int) -> list[float]:
    """Weeks of a maker: every fourth without work, the others anything from little to much."""
    worked = rng.random(weeks) > 0.25
    return [float(h) for h in worked * rng.gamma(2.0, mean / 0.75 / 2.0, weeks)]


def test_set_hours_are_taken_as_kept() -> None:
    """Ten hours of work at five a week take a fortnight; drying comes on top."""
    said = finish(SURE, Weeks(5.0), dry_s=43_200.0)
    assert said.median_days == pytest.approx(14.5)
    assert said.low_days == pytest.approx(said.high_days, rel=1e-6)


@pytest.mark.parametrize("hours", [0.0, -3.0, 200.0, float("nan")])
def test_hours_that_cannot_be(hours: float) -> None:
    """No hours, or more than a week has, are refused."""
    with pytest.raises(ValueError, match="hours a week"):
        Weeks(hours)


def test_weeks_count_from_four_with_work_on() -> None:
    """Three weeks with work leave the set hours; four take their place, empty ones included."""
    assert weeks_of([8.0, 0.0, 8.0, 8.0], 10.0) == Weeks(10.0)
    assert weeks_of([8.0, 0.0, 8.0, 8.0, 6.0], 10.0) == Weeks(6.0, (8.0, 0.0, 8.0, 8.0, 6.0))
    assert weeks_of([5.0] * LEAST_WEEKS + [0.0] * MOST_WEEKS, 10.0).is_set


def test_weeks_are_whole_and_end_yesterday() -> None:
    """Seven days before today are the latest week; the part of a week before the first is none."""
    hour = 3600.0
    days = {100: 9 * hour, 102: hour, 108: 2 * hour, 109: 3 * hour, 115: 4 * hour, 116: 8 * hour}
    assert whole_weeks(days, 116) == (3.0, 7.0)
    assert whole_weeks({}, 116) == ()
    assert len(whole_weeks({0: hour}, 5000)) == MOST_WEEKS


def test_equal_weeks_say_what_set_hours_say() -> None:
    """A maker who was at it for five hours in each of ten weeks is told what five set hours say."""
    known = weeks_of([5.0] * 10, 10.0)
    for work in (SURE, UNSURE):
        a, b = finish(work, known), finish(work, Weeks(5.0))
        assert a.low_days == pytest.approx(b.low_days, rel=0.01)
        assert a.median_days == pytest.approx(b.median_days, rel=0.01)
        assert a.high_days == pytest.approx(b.high_days, rel=0.01)
        assert chance_by(work, known, b.high_days) == pytest.approx(0.9, abs=0.11)


def test_uneven_weeks_make_a_date_less_sure() -> None:
    """With weeks that vary the interval of days is wider than the work alone would have it."""
    known = weeks_of([12.0, 0.0, 3.0, 9.0, 0.0, 6.0, 5.0, 5.0], 10.0)
    varied, even = finish(UNSURE, known), finish(UNSURE, Weeks(known.per_week))
    assert varied.high_days - varied.low_days > 1.2 * (even.high_days - even.low_days)
    assert chance_by(UNSURE, known, varied.high_days) == pytest.approx(0.9, abs=0.001)


@pytest.mark.parametrize("weeks", [6, 13, 26])
def test_dates_hold_8_in_10(weeks: int) -> None:
    """Of makers whose weeks vary, 8 in 10 finish between the days told, within 3 errors."""
    rng, makers, held = np.random.default_rng(weeks), 400, 0
    for _ in range(makers):
        mean = float(rng.uniform(3, 15))
        known = Weeks(10.0)
        while known.is_set:
            known = weeks_of(uneven(rng, mean, weeks), 10.0)
        said = finish(UNSURE, known)
        t = rng.standard_t(UNSURE.degrees_of_freedom)
        left = math.exp(UNSURE.log_median + UNSURE.log_sd * t) / 3600
        days = 0.0
        while True:
            hours = uneven(rng, mean, 1)[0]
            if left <= hours:
                days += 7 * left / hours
                break
            left, days = left - hours, days + 7
        held += said.low_days <= days <= said.high_days
    assert held / makers == pytest.approx(0.8, abs=3 * math.sqrt(0.16 / makers))


@pytest.mark.parametrize("sd", [0.02, 0.3, 1.2])
def test_amounts_of_work_are_the_quantiles(sd: float) -> None:
    """Read off a grid, the equally likely amounts of work are those that a forecast says."""
    again = ((0.6, 1.0), (0.3, 1.1), (0.1, 1.9))
    to_come = Forecast(10.0, sd, 8.0, 500.0, again)
    found = weeks._works_s(to_come)
    for k in (0, 9, 49, 90, 99):
        assert found[k] == pytest.approx(to_come.quantile((k + 0.5) / weeks.WORKS), rel=2e-3)
