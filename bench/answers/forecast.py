"""What `forecast` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class HoursInterval(Part):
    """Hands-on hours that hold with chance `level`; null for a guess, without a timed piece."""

    level: float | None
    low_h: float
    median_h: float
    high_h: float


@dataclass(frozen=True, kw_only=True)
class FinishDates(Part):
    """Days on which the work is done, ISO 8601: low and high with the level of the hours."""

    low: str
    median: str
    high: str


@dataclass(frozen=True, kw_only=True)
class Money(Part):
    """The price at the median hours; null without an hourly rate in the settings."""

    amount: float | None
    low: float | None
    high: float | None
    currency: str
    says: str
    """What is in it."""


@dataclass(frozen=True, kw_only=True)
class LotForecast(Part):
    """One lot of a commission.

    late: the chance that it is not done when due; null for a guess, unless the day is past.
    done, in_the_making, to_make: pieces that came out good, that are begun, that are to begin.
    """

    lot: str
    pattern: str
    size: str | None
    colourway: str | None
    pieces: int
    done: int
    in_the_making: int
    to_make: int
    to_come: HoursInterval
    beyond: HoursInterval | None
    """What is to come of pieces in the making beyond what is agreed."""
    due: str | None
    late: float | None


@dataclass(frozen=True, kw_only=True)
class ForecastAnswer(Answer):
    """`forecast COMMISSION`."""

    commission: str
    title: str
    hours_per_week: float
    """Set, or the mean of the latest weeks."""
    weeks: int
    """How many weeks at the bench the days go by; 0 if the set hours are taken as kept."""
    done_h: float
    to_come: HoursInterval
    finish: FinishDates
    price: Money
    lots: tuple[LotForecast, ...]
    basis: str
