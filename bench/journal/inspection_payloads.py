"""What events about a finished piece hold: looked over, packed, handed over, given back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from bench.journal.payload_base import Payload
from bench.journal.typed_texts import Amount, Day

Verdict = Literal["good", "second", "spoilt"]
Leave = Literal["sold", "lent", "given away", "lost"]


@dataclass(frozen=True, slots=True)
class Inspected(Payload):
    """The finished piece was looked over. `looks`: those of the list that it failed."""

    KIND: ClassVar[str] = "inspected"
    verdict: Verdict
    reason: str | None = None
    looks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class InspectionUndone(Payload):
    """The last inspection was taken back: the piece is as before it."""

    KIND: ClassVar[str] = "inspection_undone"


@dataclass(frozen=True, slots=True)
class Packed(Payload):
    """The piece was packed into a tray; `tray` "" takes it out again."""

    KIND: ClassVar[str] = "packed"
    tray: str


@dataclass(frozen=True, slots=True)
class Delivered(Payload):
    """The piece was handed over on a `day`; `undone`: it was not."""

    KIND: ClassVar[str] = "delivered"
    day: Day
    undone: bool = False


@dataclass(frozen=True, slots=True)
class Returned(Payload):
    """The piece came back for repair on a `day`; `mended`: it is mended, and can go again."""

    KIND: ClassVar[str] = "returned"
    day: Day
    reason: str = ""
    mended: bool = False


@dataclass(frozen=True, slots=True)
class PutIntoLot(Payload):
    """A finished piece was put into another lot, which the event names; None: into stock.

    `commission_id`, `lot_id`: the ids of the order and the lot; None in older journals.
    """

    KIND: ClassVar[str] = "put_into_lot"
    commission: str | None
    number: int | None = None
    commission_id: str | None = None
    lot_id: str | None = None


@dataclass(frozen=True, slots=True)
class LeftStock(Payload):
    """The finished piece left the stock on a `day`, and with it the lot that it may have been in.

    `price`: what that brings, decimal text in `currency`; None for nothing.
    """

    KIND: ClassVar[str] = "left_stock"
    how: Leave
    day: Day
    price: Amount | None = None
    currency: str = ""


@dataclass(frozen=True, slots=True)
class BackInStock(Payload):
    """The piece is in stock again since a `day`; `undone`: it never left, and brought nothing."""

    KIND: ClassVar[str] = "back_in_stock"
    day: Day
    undone: bool = False


INSPECTION_KINDS: tuple[type[Payload], ...] = (
    Inspected,
    InspectionUndone,
    Packed,
    Delivered,
    Returned,
    PutIntoLot,
    LeftStock,
    BackInStock,
)
