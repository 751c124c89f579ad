"""What `closing` answers: a commission held against its offer. Amounts are decimal text."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class ClosingLot(Part):
    """A lot: pieces by how they came out, hours with rework, when it was due and done.

    `hours`: of all its pieces. `each_h`: the mean of the good ones whose hours are known, `timed`
    of them. `last_finished`: of the good ones. `handed_over`: how many were, `first_out` and
    `last_out`: on which days. `late_days`: by how many days the last one of all that are promised
    came after the day it was due; below zero, before it; null until all are handed over.
    """

    lot: str
    pieces: int
    good: int
    seconds: int
    spoilt: int
    hours: float
    each_h: float | None
    timed: int
    due: str | None
    last_finished: str | None
    handed_over: int
    first_out: str | None
    last_out: str | None
    late_days: int | None


@dataclass(frozen=True, kw_only=True)
class InvoiceLine(Part):
    """A line of the invoice; the maker's own books and tax rules come first."""

    what: str
    count: int
    each: str
    amount: str


@dataclass(frozen=True, kw_only=True)
class ClosingAnswer(Answer):
    """`closing COMMISSION`.

    `stages`: hands-on hours by stage; `whole_h`: typed in for whole pieces. `offered_h`: the hours
    of the accepted offer. `untimed`: good pieces of which no hours are known. `earned_per_hour`:
    what is due less materials, for each hour spent; null until all is made, and where hours of a
    good piece are missing. `each_h`: of all hours, for each of the `timed` good pieces.
    `used`: what tubes gave for `drawn` of the `begun` pieces, by their prices, null without any;
    `planned`: what all pieces need, spare included, by the stock's prices. `used_unpriced`,
    `planned_unpriced`: what of them has no price.
    `to_stock`: pieces that went to finished stock; `stock_brought`: what those have brought since,
    by currency, which is no part of what is due.
    `next_hours`: what such a commission takes from now on, `next_unpriced`: what its cost leaves
    out.
    """

    commission: str
    title: str
    done: bool
    stages: dict[str, float]
    rework_h: float
    whole_h: float
    hours: float
    untimed: int
    offered_h: float | None
    timed: int
    each_h: float | None
    used: str | None
    used_unpriced: tuple[str, ...]
    drawn: int
    begun: int
    planned: str | None
    planned_unpriced: tuple[str, ...]
    offered_materials: str | None
    due: str | None
    tax: str | None
    received: str
    to_pay: str | None
    earned_per_hour: str | None
    currency: str
    lots: tuple[ClosingLot, ...]
    invoice: tuple[InvoiceLine, ...]
    to_stock: int
    stock_brought: tuple[str, ...]
    next_hours: float
    next_cost: str | None
    next_unpriced: tuple[str, ...]
    file: str | None
