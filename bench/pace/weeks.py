"""How many hours a week the maker is at the bench, and by which day work is done at that.

Without a record the set hours are taken as kept every week. With one, weeks to come are drawn
from those that were: each course of weeks has its own weights of them (Bayesian bootstrap: Rubin
1981, Annals of Statistics 9, 130-134; cited from memory), the more uneven the fewer weeks are
known. Work and weeks are drawn together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bench.pace.design_matrix import Array
from bench.pace.intervals import CHANCES, LEVEL, Forecast, t_quantile, t_quantiles

WEEK_DAYS = 7.0
LEAST_WEEKS = 4
"""So many weeks with work in them have to be known before they are gone by."""
MOST_WEEKS = 26
"""Weeks that are looked back: what was half a year ago says little."""
SURENESS, WEEKS_LESS = 0.7, 4
"""Known weeks less so many, times this, are what a course's weights go by: less even than one a
week, so that dates hold as often as they say with few weeks too (held by a test)."""
WORKS, COURSES = 100, 2000
"""Equally likely amounts of work, and courses of weeks, as many for each of them."""
GRID = 1001
"""Points at which the chance of an amount of work is worked out."""
FEW = 200
"""So many courses that go on are drawn by themselves, and not with all that have ended."""
MOST_AHEAD, AT_ONCE = 5200, 26
"""Weeks ahead: a century; and so many are drawn at once."""


@dataclass(frozen=True)
class Weeks:
    """Hours a week: set, or as they were.

    hours: at the bench in each of the latest whole weeks, in their order; none where set hours
    are to be kept. per_week: set, or the mean.
    """

    per_week: float
    hours: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        """Refuse hours that no week has."""
        if not (math.isfinite(self.per_week) and 0 < self.per_week <= 168):
            raise ValueError("hours a week must be more than 0 and no more than 168")

    @property
    def is_set(self) -> bool:
        """Whether the hours are set, not known from weeks that were."""
        return not self.hours


def whole_weeks(days: Mapping[int, float], today: int) -> tuple[float, ...]:
    """Hours in each whole week before today since the first day known, the latest last.

    Args:
        days: seconds at the bench by day, counted from any day.
        today: not a whole day yet.

    """
    first = min((day for day, s in days.items() if s > 0), default=today)
    hours = [0.0] * min(MOST_WEEKS, max(0, (today - first) // 7))
    for day, seconds in days.items():
        back = (today - 1 - day) // 7
        if 0 <= back < len(hours):
            hours[-1 - back] += seconds / 3600
    return tuple(hours)


def weeks_of(hours: Sequence[float], set_hours: float) -> Weeks:
    """The weeks that were, the latest last, if they are enough to go by; else the set hours."""
    latest = tuple(hours[-MOST_WEEKS:])
    if sum(h > 0 for h in latest) < LEAST_WEEKS:
        return Weeks(set_hours)
    return Weeks(min(168.0, sum(latest) / len(latest)), latest)


@dataclass(frozen=True)
class Finish:
    """Days from today until the work is done."""

    level: float
    low_days: float
    median_days: float
    high_days: float


def finish(to_come: Forecast, weeks: Weeks, *, dry_s: float = 0.0) -> Finish:
    """When it will be done; `dry_s` is what the last piece still has to dry."""
    tail = (1 - LEVEL) / 2
    chances = (tail, 0.5, 1 - tail)
    if weeks.is_set:
        days = [to_come.quantile(p) / 3600 / weeks.per_week * WEEK_DAYS for p in chances]
    else:
        days = [float(d) for d in np.quantile(_days(to_come, weeks), chances)]
    return Finish(LEVEL, *(d + dry_s / 86_400 for d in days))


def chance_by(to_come: Forecast, weeks: Weeks, days: float) -> float:
    """Chance that the work is done within so many days, between 0.001 and 0.999."""
    if weeks.is_set:
        return to_come.chance(days / WEEK_DAYS * weeks.per_week * 3600)
    return min(0.999, max(0.001, float(np.mean(_days(to_come, weeks) <= days))))


def _works_s(to_come: Forecast) -> Array:
    """So many equally likely amounts of work, in seconds: its quantiles, read off a grid."""
    if to_come.log_median == -math.inf:
        return np.full(WORKS, to_come.done_s)
    freedom, factors = to_come.degrees_of_freedom, [math.log(f) for _, f in to_come.times]
    ends = (0.5 / WORKS, 1 - 0.5 / WORKS)
    reach = [to_come.log_sd * t_quantile(p, freedom) for p in ends]
    far = np.linspace(reach[0] + factors[0], reach[1] + factors[-1], GRID)
    table = t_quantiles(freedom)
    below = sum(
        chance * np.interp((far - factor) / to_come.log_sd, table, CHANCES)
        for (chance, _), factor in zip(to_come.times, factors, strict=True)
    )
    wanted = (np.arange(WORKS) + 0.5) / WORKS
    return np.asarray(to_come.done_s + np.exp(to_come.log_median + np.interp(wanted, below, far)))


@lru_cache(maxsize=256)
def _days(to_come: Forecast, weeks: Weeks) -> Array:
    """Days until the work is done, in so many equally likely courses of weeks."""
    left = np.repeat(_works_s(to_come), COURSES // WORKS) / 3600
    days = np.full(COURSES, WEEK_DAYS * MOST_AHEAD)
    going = np.arange(COURSES)
    for part in range(MOST_AHEAD // AT_ONCE):
        few = len(going) <= FEW
        hours, worked = _drawn(weeks, part, going) if few else _courses(weeks, part)
        rows = np.arange(len(going)) if few else going
        end = worked[rows, -1]
        done = left <= end
        ended, wanted = rows[done], left[done]
        before = (worked[ended] < wanted[:, None]).sum(axis=1)
        last = hours[ended, before]
        rest = wanted - worked[ended, before] + last
        days[going[done]] = WEEK_DAYS * (AT_ONCE * part + before + rest / np.maximum(last, 1e-9))
        going, left = going[~done], (left - end)[~done]
        if not len(going):
            break
    return days


@lru_cache(maxsize=8)
def _courses(weeks: Weeks, part: int) -> tuple[Array, Array]:
    """Hours of each week in some part of every course, and their running sum; one for all work."""
    return _drawn(weeks, part, np.arange(COURSES))


def _drawn(weeks: Weeks, part: int, going: NDArray[np.intp]) -> tuple[Array, Array]:
    """The same of some of the courses alone."""
    chances = np.random.default_rng((1, part)).random((going[-1] + 1, AT_ONCE))[going]
    drawn = np.zeros(chances.shape, np.uint8)
    for column in _weights(weeks)[going, :-1].T:
        drawn += column[:, None] < chances
    hours = np.array(weeks.hours)[drawn]
    return hours, hours.cumsum(axis=1)


@lru_cache(maxsize=8)
def _weights(weeks: Weeks) -> Array:
    """How likely each known week is in each course, as a running sum."""
    known = len(weeks.hours)
    sureness = max(1.0, SURENESS * (known - WEEKS_LESS))
    rng = np.random.default_rng(1)
    return np.asarray(rng.dirichlet(np.full(known, sureness / known), COURSES).cumsum(axis=1))
