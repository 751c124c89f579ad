"""What `offer` and `account` answer. Amounts are decimal text in one currency."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part
from bench.answers.forecast import HoursInterval


@dataclass(frozen=True, kw_only=True)
class Letter(Part):
    """Who writes to the customer, name and address parted by semicolons, and on which day."""

    maker: str
    day: str


@dataclass(frozen=True, kw_only=True)
class CostRange(Part):
    """What it costs the maker's way at the low, median and high of its hours."""

    low: str
    median: str
    high: str


@dataclass(frozen=True, kw_only=True)
class OfferLine(Part):
    """One lot: `each` for a piece, `price` for all. Null: not foreseen any more, it is accepted.

    `kind`: title of its pattern, size and colourway; empty for a lot that is no more.
    `agreed`: the price of a piece was said by the maker, not worked out.
    """

    lot: str
    name: str
    kind: str
    pieces: int
    each: str
    price: str
    agreed: bool
    hours: HoursInterval | None
    materials: str | None
    cost: CostRange | None


@dataclass(frozen=True, kw_only=True)
class OfferAnswer(Answer):
    """`offer COMMISSION`. Hours and cost are the maker's alone; `file`: what was written."""

    commission: str
    title: str
    whom: str
    letter: Letter
    note: str
    currency: str
    lots: tuple[OfferLine, ...]
    design: str
    notions: str
    discount: str
    net: str
    tax_name: str
    tax_percent: str
    tax: str
    gross: str
    deposit: str
    due: str | None
    holds_until: str | None
    hours: HoursInterval
    cost: CostRange | None
    unpriced: tuple[str, ...]
    accepted: str | None
    """The day on which it was accepted; from then on it is frozen."""
    file: str | None
    waits: bool


@dataclass(frozen=True, kw_only=True)
class AccountLine(Part):
    """A lot as it is due: pieces as agreed now, those charged beside them, what was `offered`."""

    lot: str
    name: str
    kind: str
    pieces: int
    charged: int
    offered: int
    each: str
    price: str
    change: str


@dataclass(frozen=True, kw_only=True)
class MoneyLine(Part):
    """Money that moved; a refund is below zero."""

    event: str
    day: str
    what: str
    amount: str
    note: str


@dataclass(frozen=True, kw_only=True)
class DeliveredLine(Part):
    """Pieces of a lot that were handed over on a day: so many of them `charged`, at `each`.

    `each` is null for a lot without a price.
    """

    lot: str
    name: str
    kind: str
    pieces: int
    numbers: tuple[int, ...]
    charged: int
    each: str | None
    price: str


@dataclass(frozen=True, kw_only=True)
class PartDelivery(Part):
    """What was handed over on a day, and what is due for it; all parts add up to the whole.

    `besides`: what is due beside the pieces, each with its amount; what was agreed for design and
    boxes is due with the first part. `paid`: what came in, earlier parts first. `to_come`: what is
    due for all that was handed over on no day up to this one.
    """

    day: str
    lines: tuple[DeliveredLine, ...]
    besides: tuple[tuple[str, str], ...]
    due: str
    tax: str
    paid: str
    to_pay: str
    to_come: str


@dataclass(frozen=True, kw_only=True)
class AccountAnswer(Answer):
    """`account COMMISSION`: offer and changes, what came in, what is still to pay.

    `parts`: what was handed over, day by day, once an offer is accepted.

    `offered`, `due`: with tax. `agreed`: the day on which the customer agreed to the order as it is
    now, null where that is still to come; `changed`: whether it is another one than was accepted.
    `ready`, `offered_ready`: when it is due, and was by the offer. `to_stock`: pieces that
    were made beyond a lowered count and went to finished stock.
    """

    commission: str
    title: str
    whom: str
    letter: Letter
    currency: str
    accepted: str | None
    offered: str | None
    changed: bool
    agreed: str | None
    ready: str | None
    offered_ready: str | None
    lines: tuple[AccountLine, ...]
    besides: tuple[tuple[str, str], ...]
    """What is due beside the lots: design, boxes, discount, tax, each with its amount."""
    due: str | None
    tax: str | None
    received: str
    to_pay: str | None
    deposit: str | None
    deposit_missing: str
    movements: tuple[MoneyLine, ...]
    parts: tuple[PartDelivery, ...]
    day: str | None
    """Of the only part that was asked for."""
    to_stock: int
    file: str | None
    waits: bool
