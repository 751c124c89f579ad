"""What an offer says: hours, materials and prices of each lot, and of the whole."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bench.commission.money import decimal_of, percent_of, rounded
from bench.documents.commission import Commission, Lot
from bench.documents.settings import Settings
from bench.pace.intervals import Forecast, Interval
from bench.pace.price import charge


@dataclass(frozen=True)
class LotCost:
    """What a lot takes: the hours of all its pieces, and its materials where they have prices."""

    lot: Lot
    hours: Forecast
    materials: Decimal | None
    unpriced: tuple[str, ...] = ()
    """Materials that have no price in the stock."""


@dataclass(frozen=True)
class Range:
    """What something costs the maker's way if it takes the low, median and high hours."""

    low: Decimal
    median: Decimal
    high: Decimal


@dataclass(frozen=True)
class OfferedLot:
    """A lot in an offer: `each` for a piece, as agreed or else as it costs at median hours."""

    lot: Lot
    each: Decimal
    agreed: bool
    hours: Interval
    materials: Decimal | None
    cost: Range | None
    """None without an hourly rate."""
    unpriced: tuple[str, ...]
    """Materials that have no price in the stock."""

    @property
    def price(self) -> Decimal:
        """For all its pieces."""
        return self.each * self.lot.pieces


@dataclass(frozen=True)
class Totals:
    """From prices to what is asked: discount, tax and deposit, each rounded once."""

    lines: Decimal
    discount: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    deposit: Decimal


@dataclass(frozen=True)
class Offer:
    """An offer as it is worked out on a day. Hours and cost are the maker's alone."""

    lots: tuple[OfferedLot, ...]
    design: Decimal
    notions: Decimal
    totals: Totals
    discount_percent: Decimal
    tax_name: str
    tax_percent: Decimal
    hours: Interval
    cost: Range | None
    unpriced: tuple[str, ...]
    currency: str
    due: dt.date | None
    holds_until: dt.date


def offer(
    commission: Commission,
    costs: Sequence[LotCost],
    whole: Forecast,
    settings: Settings,
    rate: Decimal | None,
    today: dt.date,
) -> Offer:
    """Work an offer out.

    Lots of one pattern and size without a price of their own get one price. Prices that are worked
    out add up to what the whole costs at its median hours, not to the sum of the lots' medians.

    Args:
        commission: what is asked for.
        costs: of its lots, in their order.
        whole: the hours of all lots together: those of lots do not add up to it.
        settings: prices, tax and rounding.
        rate: for an hour; None where all prices are agreed.
        today: from when the offer holds.

    """
    shop, terms = settings.shop, commission.terms
    ranges = [_range(cost.hours.interval(), cost, settings, rate) for cost in costs]
    hours = whole.interval()
    materials = sum((cost.materials or Decimal(0) for cost in costs), Decimal(0))
    in_all = _of_hours(hours, materials, settings, rate)
    alike = _means(costs, ranges, in_all)
    lots = tuple(
        _lot(cost, found, alike[_alike(cost.lot)], settings)
        for cost, found in zip(costs, ranges, strict=True)
    )
    drawing = decimal_of(terms.design_hours) * (rate or Decimal(0))
    design = rounded(drawing, shop.round_to, shop.rounding)
    lines = sum((lot.price for lot in lots), design + terms.notions)
    tax_percent = shop.tax_percent if terms.tax_percent is None else terms.tax_percent
    deposit = shop.deposit_percent if terms.deposit_percent is None else terms.deposit_percent
    return Offer(
        lots=lots,
        design=design,
        notions=terms.notions,
        totals=totals(lines, terms.discount_percent, tax_percent, deposit),
        discount_percent=terms.discount_percent,
        tax_name=shop.tax_name,
        tax_percent=tax_percent,
        hours=hours,
        cost=in_all,
        unpriced=tuple(dict.fromkeys(name for cost in costs for name in cost.unpriced)),
        currency=settings.work.currency,
        due=commission.ready,
        holds_until=terms.holds_until or today + dt.timedelta(days=shop.holds_days),
    )


def totals(
    lines: Decimal, discount_percent: Decimal, tax_percent: Decimal, deposit_percent: Decimal
) -> Totals:
    """Add discount and tax to the sum of the lines. Discount, tax and deposit are cents."""
    discount = rounded(percent_of(lines, discount_percent))
    net = lines - discount
    tax = rounded(percent_of(net, tax_percent))
    gross = net + tax
    return Totals(lines, discount, net, tax, gross, rounded(percent_of(gross, deposit_percent)))


def _alike(lot: Lot) -> tuple[str, str | None, bool]:
    """What lots have in common that get one price; an agreed price stands by itself."""
    return lot.pattern, lot.size, lot.price is None


def _means(
    costs: Sequence[LotCost], ranges: Sequence[Range | None], in_all: Range | None
) -> Mapping[tuple[str, str | None, bool], Decimal]:
    """What a piece costs on the average at median hours, over all lots that get one price."""
    whole: dict[tuple[str, str | None, bool], Decimal] = {}
    pieces: dict[tuple[str, str | None, bool], int] = {}
    for cost, found in zip(costs, ranges, strict=True):
        key = _alike(cost.lot)
        median = Decimal(0) if found is None else found.median
        whole[key] = whole.get(key, Decimal(0)) + median
        pieces[key] = pieces.get(key, 0) + cost.lot.pieces
    parts = sum(whole.values(), Decimal(0))
    scale = Decimal(1) if in_all is None or not parts else in_all.median / parts
    return {key: scale * amount / pieces[key] for key, amount in whole.items()}


def _lot(cost: LotCost, found: Range | None, mean: Decimal, settings: Settings) -> OfferedLot:
    shop, hours = settings.shop, cost.hours.interval()
    each = cost.lot.price
    if each is None:
        each = rounded(max(mean, shop.least_price), shop.round_to, shop.rounding)
    agreed = cost.lot.price is not None
    return OfferedLot(cost.lot, each, agreed, hours, cost.materials, found, cost.unpriced)


def _range(
    hours: Interval, cost: LotCost, settings: Settings, rate: Decimal | None
) -> Range | None:
    return _of_hours(hours, cost.materials or Decimal(0), settings, rate)


def _of_hours(
    hours: Interval, materials: Decimal, settings: Settings, rate: Decimal | None
) -> Range | None:
    if rate is None:
        return None
    low, median, high = (
        _cost(seconds, materials, settings, rate)
        for seconds in (hours.low_s, hours.median_s, hours.high_s)
    )
    return Range(low, median, high)


def _cost(seconds: float, materials: Decimal, settings: Settings, rate: Decimal) -> Decimal:
    """What some work costs the maker, her margin included."""
    overhead = percent_of(Decimal(1), settings.shop.overhead_percent)
    margin = decimal_of(settings.work.margin)
    return charge(decimal_of(seconds / 3600), rate, materials, overhead, margin)
