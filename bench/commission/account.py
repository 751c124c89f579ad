"""What is owed and paid: the accepted offer, what changed since, and the money that moved."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bench.commission.lot_number import Settled
from bench.commission.money import shown
from bench.commission.offer import Totals, totals
from bench.commission.versions import History
from bench.craft.text import Fault, cleaned
from bench.documents.commission import Commission, Lot
from bench.journal.commission_payloads import (
    AgreedLot,
    ChangeAgreed,
    CommissionCancelled,
    CommissionUndone,
    MoneyMoved,
    OfferAccepted,
)
from bench.journal.store import Journal


@dataclass(frozen=True)
class Acceptance:
    """The accepted offer, with the event that says so."""

    event: str
    said: OfferAccepted


@dataclass(frozen=True)
class Movement:
    """Money that moved, with the event that says so; a refund is below zero."""

    event: str
    said: MoneyMoved

    @property
    def amount(self) -> Decimal:
        """What came in."""
        amount = Decimal(self.said.amount)
        return -amount if self.said.what == "refund" else amount


@dataclass(frozen=True)
class DueLine:
    """What is due for a lot: as many pieces as agreed now, and those charged beside them."""

    lot: str
    name: str
    pieces: int
    charged: int
    each: Decimal
    offered: int

    @property
    def price(self) -> Decimal:
        """For all of them."""
        return self.each * (self.pieces + self.charged)

    @property
    def change(self) -> Decimal:
        """What the lot is more than it was offered for; below zero, less."""
        return self.price - self.each * self.offered


@dataclass(frozen=True)
class Account:
    """How a commission stands in money. `acceptance` is None before an offer is accepted."""

    acceptance: Acceptance | None
    lines: tuple[DueLine, ...]
    unpriced: tuple[str, ...]
    """Lots that came after the offer and have no price."""
    movements: tuple[Movement, ...]
    others: int
    """Acceptances besides, made at another bench that knew nothing of this one."""
    agreed: ChangeAgreed | None = None
    """The order that the customer agreed to last, after the offer."""
    agreed_event: str = ""
    day: str | None = None
    """When the order is due now."""
    cancelled: CommissionCancelled | None = None
    """When the order was cancelled: due is then what is charged of it, and its design if any is."""

    @property
    def besides(self) -> tuple[Decimal, Decimal]:
        """What is due for the design, and for boxes, findings and post."""
        if self.acceptance is None:
            return Decimal(0), Decimal(0)
        said = self.acceptance.said
        if self.cancelled is None:
            return Decimal(said.design), Decimal(said.notions)
        is_charged = any(line.charged for line in self.lines)
        return Decimal(said.design) if is_charged else Decimal(0), Decimal(0)

    @property
    def due(self) -> Totals | None:
        """What is due; None before an offer holds."""
        if self.acceptance is None:
            return None
        said = self.acceptance.said
        return totals(
            sum((line.price for line in self.lines), sum(self.besides, Decimal(0))),
            Decimal(said.discount_percent),
            Decimal(said.tax_percent),
            Decimal(0),
        )

    @property
    def is_changed(self) -> bool:
        """Whether the order is another one than was accepted."""
        accepted = self.acceptance
        changed = any(line.change for line in self.lines)
        return accepted is not None and (changed or accepted.said.due != self.day)

    @property
    def change(self) -> Decimal:
        """What is due more than was offered, with tax; below zero, less."""
        return Decimal(0) if self.due is None else self.due.gross - self.offered

    @property
    def offered(self) -> Decimal:
        """What the accepted offer asks for, with tax."""
        if self.acceptance is None:
            return Decimal(0)
        said = self.acceptance.said
        lots = sum((Decimal(lot.each) * lot.pieces for lot in said.lots), Decimal(0))
        return totals(
            lots + Decimal(said.design) + Decimal(said.notions),
            *(Decimal(said.discount_percent), Decimal(said.tax_percent), Decimal(0)),
        ).gross

    def agreement(self, day: str) -> ChangeAgreed:
        """That the customer agrees to the order as it is now. Raises Fault if there is no need."""
        if self.due is None or self.cancelled is not None or not self.is_changed:
            raise Fault("the order is the one that was accepted: nothing is to be agreed on anew")
        lots = (
            AgreedLot(line.lot, line.name, line.pieces + line.charged, shown(line.each))
            for line in self.lines
            if line.pieces + line.charged
        )
        return ChangeAgreed(day, shown(self.due.gross), tuple(lots), self.day)

    @property
    def is_agreed(self) -> bool:
        """Whether the customer agreed to the order as it is now."""
        if not self.is_changed or self.cancelled is not None:
            return True
        if self.agreed is None:
            return False
        # What lots are called, and in which turn they are made, is not what was agreed on.
        now, then = self.agreement(self.agreed.day), self.agreed
        same = {(lot.lot, lot.pieces, lot.each) for lot in now.lots}
        return (now.amount, now.due) == (then.amount, then.due) and same == {
            (lot.lot, lot.pieces, lot.each) for lot in then.lots
        }

    @property
    def received(self) -> Decimal:
        """What came in, less what went back."""
        counted = (moved.amount for moved in self.movements if moved not in self.foreign)
        return sum(counted, Decimal(0))

    @property
    def foreign(self) -> tuple[Movement, ...]:
        """Money in another currency than the order's, which counts for nothing."""
        if not self.movements:
            return ()
        last = self.movements[-1].said
        own = last.currency if self.acceptance is None else self.acceptance.said.currency
        return tuple(moved for moved in self.movements if moved.said.currency != own)

    @property
    def to_pay(self) -> Decimal | None:
        """What is still to be paid; below zero, to be given back. None before an offer holds."""
        return None if self.due is None else self.due.gross - self.received

    def event_of(self, what: str) -> str:
        """The event to take back: that the offer is accepted, or the last movement of a kind.

        Raises Fault if there is none.
        """
        if what == "accepted" and self.acceptance is not None:
            return self.acceptance.event
        if what == "agreed" and self.agreed is not None:
            return self.agreed_event
        for moved in reversed(self.movements):
            if moved.said.what == what:
                return moved.event
        raise Fault(
            f"there is no '{cleaned(what, 20)}' to take back; there can be accepted, agreed,"
            " deposit, payment, refund"
        )

    @property
    def deposit_missing(self) -> Decimal:
        """What has not come in of the deposit that was agreed."""
        if self.acceptance is None:
            return Decimal(0)
        came = max(Decimal(0), self.received)
        return max(Decimal(0), Decimal(self.acceptance.said.deposit) - came)


def read_account(
    journal: Journal, commission_id: str, commission: Commission, history: History
) -> Account:
    """Read what was accepted and paid, and work out what is due for the commission as it is now."""
    undone = {said.event for _, said in journal.each(CommissionUndone, commission_id)}
    accepted = [
        Acceptance(event.uuid, said)
        for event, said in journal.each(OfferAccepted, commission_id)
        if event.uuid not in undone
    ]
    moved = tuple(
        Movement(event.uuid, said)
        for event, said in journal.each(MoneyMoved, commission_id)
        if event.uuid not in undone
    )
    day = None if commission.ready is None else commission.ready.isoformat()
    if not accepted:
        return Account(None, (), (), moved, 0, day=day, cancelled=history.cancelled)
    agreed = [
        (event.uuid, said)
        for event, said in journal.each(ChangeAgreed, commission_id)
        if event.uuid not in undone
    ]
    agreed_event, last = agreed[-1] if agreed else ("", None)
    said = accepted[0].said
    lines = tuple(due_lines(said.lots, commission.lots, history.settled(commission)))
    priced = {line.lot for line in lines}
    return Account(
        accepted[0],
        lines,
        tuple(lot.name for lot in commission.lots if lot.id not in priced),
        moved,
        len(accepted) - 1,
        last,
        agreed_event,
        day,
        history.cancelled,
    )


def due_lines(
    agreed: Iterable[AgreedLot], lots: Iterable[Lot], settled: Mapping[str, Settled]
) -> Iterator[DueLine]:
    """What is due lot by lot: lots of now at the agreed price, else at their own.

    A lot that was taken out is due with what was charged of it.
    """
    offered = {lot.lot: lot for lot in agreed}
    now = {lot.id: lot for lot in lots if lot.id is not None}
    for key, lot in now.items():
        was = offered.get(key)
        each = Decimal(was.each) if was is not None else lot.price
        if each is not None:
            before = 0 if was is None else was.pieces
            own = settled.get(key, Settled())
            yield DueLine(key, lot.name, own.count(lot.pieces), own.charged, each, before)
    for key, was in offered.items():
        if key not in now:
            more = settled.get(key, Settled()).charged
            yield DueLine(key, was.name, 0, more, Decimal(was.each), was.pieces)
