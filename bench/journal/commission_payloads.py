"""What events about a commission hold: what was agreed, changed, paid and handed over.

Amounts are decimal text in the commission's currency ("30.00"), days are ISO 8601.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from bench.journal.payload_base import JSON, Measure, Payload, Positive, Subject
from bench.journal.typed_texts import Amount, Day, Percent

Move = Literal["deposit", "payment", "refund"]


@dataclass(frozen=True, slots=True)
class Surplus:
    """Pieces made beyond a lowered count: `charged` all the same, or finished `stock`."""

    lot: str
    pieces: Positive
    goes: Literal["charged", "stock"]


@dataclass(frozen=True, slots=True)
class CommissionKept(Payload):
    """A version of a commission was kept, with its whole `content` but for the customer.

    `name`: its file's name. `over`: the ids of the versions that it follows, so that two of them
    that know nothing of each other both stand. `day`: when it was agreed. `source`: who wrote it.
    `surplus`: what became of pieces that were made beyond a lowered count; lots by their ids.
    """

    KIND: ClassVar[str] = "commission_kept"
    SUBJECT: ClassVar[Subject] = "commission"
    name: str
    content: dict[str, JSON]
    day: Day
    source: Literal["app", "file"]
    over: tuple[str, ...] = ()
    reason: str = ""
    surplus: tuple[Surplus, ...] = ()


@dataclass(frozen=True, slots=True)
class CustomerNamed(Payload):
    """For whom a commission is. It is about nothing else, so that it can stay at home."""

    KIND: ClassVar[str] = "customer_named"
    SUBJECT: ClassVar[Subject] = "customer"
    commission: str
    whom: str


@dataclass(frozen=True, slots=True)
class AgreedLot:
    """A lot as it was accepted: so many `pieces` at `each`."""

    lot: str
    name: str
    pieces: Positive
    each: Amount


@dataclass(frozen=True, slots=True)
class OfferAccepted(Payload):
    """An offer was accepted on a `day`, and is frozen.

    `design`, `notions`: beside the lots. `deposit`: asked for beforehand. `hours_low`,
    `hours_median`, `hours_high`: of all lots together, as they were foreseen; `level` None for a
    guess. `materials`: what they were to cost, None where nothing has a price.
    """

    KIND: ClassVar[str] = "offer_accepted"
    SUBJECT: ClassVar[Subject] = "commission"
    day: Day
    currency: str
    lots: tuple[AgreedLot, ...]
    design: Amount
    notions: Amount
    discount_percent: Percent
    tax_name: str
    tax_percent: Percent
    deposit: Amount
    hours_low: Measure
    hours_median: Measure
    hours_high: Measure
    level: float | None = None
    materials: Amount | None = None
    due: Day | None = None


@dataclass(frozen=True, slots=True)
class ChangeAgreed(Payload):
    """The customer agreed on a `day` to the order as it was changed since the offer.

    `lots`: what was agreed to, `amount`: due for it with tax, `due`: the day that it is due.
    """

    KIND: ClassVar[str] = "change_agreed"
    SUBJECT: ClassVar[Subject] = "commission"
    day: Day
    amount: Amount
    lots: tuple[AgreedLot, ...]
    due: Day | None = None


@dataclass(frozen=True, slots=True)
class MoneyMoved(Payload):
    """Money came in as the `deposit` or another `payment`, or went back as a `refund`."""

    KIND: ClassVar[str] = "money_moved"
    SUBJECT: ClassVar[Subject] = "commission"
    what: Move
    amount: Amount
    currency: str
    day: Day
    note: str = ""


@dataclass(frozen=True, slots=True)
class CommissionUndone(Payload):
    """An earlier `event` about the commission was taken back: it counts for nothing."""

    KIND: ClassVar[str] = "commission_undone"
    SUBJECT: ClassVar[Subject] = "commission"
    event: str


@dataclass(frozen=True, slots=True)
class HangingKept(Payload):
    """Which piece hangs at each place, in their order: "lot's id/number", "" for none.

    `over`: the ids of the arrangements that it follows, so that two that know nothing of each other
    are told.
    """

    KIND: ClassVar[str] = "hanging_kept"
    SUBJECT: ClassVar[Subject] = "commission"
    pieces: tuple[str, ...]
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SampleWaived(Payload):
    """A lot (by its id) need not wait for the sign-off of its sample, for a reason."""

    KIND: ClassVar[str] = "sample_waived"
    SUBJECT: ClassVar[Subject] = "commission"
    lot: str
    reason: str


@dataclass(frozen=True, slots=True)
class SampleApproved(Payload):
    """The customer has approved a `piece` as the sample."""

    KIND: ClassVar[str] = "sample_approved"
    SUBJECT: ClassVar[Subject] = "commission"
    piece: str
    day: Day


@dataclass(frozen=True, slots=True)
class CommissionNoted(Payload):
    """A note about the commission, or about a `lot` (by its id) or a `piece` of it.

    `photo`: the name of a photograph's file; it stays where it is.
    """

    KIND: ClassVar[str] = "commission_noted"
    SUBJECT: ClassVar[Subject] = "commission"
    text: str
    photo: str = ""
    lot: str = ""
    piece: str = ""


@dataclass(frozen=True, slots=True)
class CommissionCancelled(Payload):
    """The commission was cancelled on a `day`; `undone`: it goes on after all.

    `surplus`: what became of the pieces that were made of it; lots by their ids.
    """

    KIND: ClassVar[str] = "commission_cancelled"
    SUBJECT: ClassVar[Subject] = "commission"
    day: Day
    reason: str = ""
    undone: bool = False
    surplus: tuple[Surplus, ...] = ()

    @property
    def words(self) -> str:
        """When it was cancelled, and why."""
        return self.day + (f" ({self.reason})" if self.reason else "")


@dataclass(frozen=True, slots=True)
class CommissionPutAway(Payload):
    """A commission that is over was put away on a `day`; `undone`: it was called back.

    `name`: its file's name.
    """

    KIND: ClassVar[str] = "commission_put_away"
    SUBJECT: ClassVar[Subject] = "commission"
    name: str
    day: Day
    undone: bool = False


COMMISSION_KINDS: tuple[type[Payload], ...] = (
    CommissionKept,
    CustomerNamed,
    OfferAccepted,
    ChangeAgreed,
    MoneyMoved,
    CommissionUndone,
    HangingKept,
    SampleWaived,
    SampleApproved,
    CommissionNoted,
    CommissionCancelled,
    CommissionPutAway,
)
