"""Orders that are over: handed over and paid, and put away from the first list, or called back."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal

from bench.commission.account import read_account
from bench.commission.book import CommissionBook
from bench.commission.identity import order_id
from bench.commission.lot_number import Settled
from bench.commission.lot_refs import OrderLots
from bench.commission.money import shown
from bench.commission.pieces import status_of
from bench.commission.versions import History
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.commission import Commission
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.commission_payloads import CommissionPutAway
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal


@dataclass(frozen=True)
class Outstanding:
    """What of an order is still to be handed over and paid.

    `left`: pieces to hand over, lot by lot: those that are promised, of a cancelled order those
    that are charged. `delivered`: those that were handed over.
    `to_pay`: below zero, to be given back; None before an offer is accepted.
    """

    left: int
    delivered: int
    to_pay: Decimal | None
    currency: str
    is_cancelled: bool

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not done yet; nothing of an order that is over."""
        found = [f"{plural(self.left, 'piece')} to hand over"] if self.left else []
        if self.to_pay:
            how = "to pay" if self.to_pay > 0 else "to give back"
            found.append(f"{shown(abs(self.to_pay))} {self.currency} {how}")
        return tuple(found)

    @property
    def words(self) -> str:
        """That it is over, in a few words."""
        if self.is_cancelled:
            return "cancelled"
        paid = "" if self.to_pay is None else " and paid"
        return f"all {self.delivered} handed over{paid}"


def ending(
    journal: Journal,
    commission: Commission,
    history: History,
    lots: OrderLots,
    pieces: Iterable[PieceState],
) -> Outstanding:
    """What of an order is still to be handed over and paid.

    commission: with its ids. lots: those of the order. pieces: of any order.
    """
    account = read_account(journal, lots.order, commission, history)
    now = {lot.id or "": lot.pieces for lot in commission.lots}
    settled = {lot: lots.settled.get(lot, Settled()) for lot in {*now, *lots.settled}}
    handed = Counter(
        lots.lot_of(piece)
        for piece in pieces
        if status_of(piece) == "delivered" and not piece.trial and lots.lot_of(piece)
    )
    left = sum(max(0, one.promised(now.get(lot, 0)) - handed[lot]) for lot, one in settled.items())
    accepted = account.acceptance
    return Outstanding(
        left,
        handed.total(),
        account.to_pay,
        "" if accepted is None else accepted.said.currency,
        lots.cancelled is not None,
    )


def ending_of(journal: Journal, book: CommissionBook) -> Outstanding:
    """Read what of an order is still to be handed over and paid."""
    pieces = journal.pieces(open_only=False)
    return ending(journal, book.commission, book.history, book.lots(journal), pieces)


def put_away(journal: Journal | None, library: Library) -> frozenset[str]:
    """The names of the orders' files that are put away; another order of such a name is not."""
    found = set()
    for order, told in journal.by_piece(CommissionPutAway).items() if journal is not None else ():
        _, said = told[-1]
        path = None if said.undone else library.commission_named(said.name)
        with suppress(DocumentError):
            if path is not None and order_id(path) == order:
                found.add(path.stem)
    return frozenset(found)


def putting_away(journal: Journal, book: CommissionBook, day: dt.date) -> CommissionPutAway:
    """The event that puts an order away. Raises Fault with what of it is still to be done."""
    missing = ending_of(journal, book).missing
    if missing:
        raise Fault(f"'{book.commission.title}' is not over yet: {', '.join(missing)}")
    return CommissionPutAway(book.name, day.isoformat())


def calling_back(book: CommissionBook, day: dt.date) -> CommissionPutAway:
    """The event that calls an order back."""
    return CommissionPutAway(book.name, day.isoformat(), undone=True)
