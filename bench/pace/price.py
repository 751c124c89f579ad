"""What a maker charges: hours at a rate and materials, with overhead and margin on both."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar

from bench.pace.intervals import LEVEL, Forecast


@dataclass(frozen=True)
class Price:
    """What to charge if it takes as long as the low, median and high of its hours."""

    level: float
    low: float
    median: float
    high: float


Number = TypeVar("Number", float, Decimal)


def charge(
    hours: Number, per_hour: Number, materials: Number, overhead: Number, margin: Number
) -> Number:
    """Hours at a rate and materials, with overhead on both, then the margin on all of it.

    overhead, margin: shares, 0.2 for 20 %.
    """
    return (hours * per_hour + materials) * (1 + overhead) * (1 + margin)


def price(
    hands_on: Forecast,
    *,
    per_hour: float,
    materials: float = 0.0,
    overhead: float = 0.0,
    margin: float = 0.0,
) -> Price:
    """Hours at a rate, plus materials, with overhead on both and the margin on all of it.

    Args:
        hands_on: the seconds of the work.
        per_hour: the maker's rate.
        materials: what beads, thread and findings cost.
        overhead: a share for rent, light and tools, 0.2 for 20 %.
        margin: a share on top of that.

    Raises:
        ValueError: a negative amount.

    """
    if min(per_hour, materials, overhead, margin) < 0:
        raise ValueError("rate, materials, overhead and margin may not be negative")
    said = hands_on.interval(LEVEL)
    low, median, high = (
        charge(s / 3600, per_hour, materials, overhead, margin)
        for s in (said.low_s, said.median_s, said.high_s)
    )
    return Price(said.level, low, median, high)
