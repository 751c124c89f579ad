"""Finished stock: pieces of no order, those beyond an order's lowered count, and what left it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from bench.commission.book import CommissionBook, open_book
from bench.commission.identity import order_ids
from bench.commission.lot_number import Settled
from bench.commission.lot_refs import LotRefs
from bench.commission.money import shown
from bench.commission.pieces import read_pieces
from bench.craft.text import Fault, cleaned
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.commission_payloads import CommissionCancelled, CommissionKept
from bench.journal.inspection_payloads import Leave, LeftStock, PutIntoLot
from bench.journal.piece_state import PieceState, TimeAway
from bench.journal.store import Journal

IN_STOCK = ("good", "second")
"""How a piece came out that can be in stock."""


@dataclass(frozen=True)
class StockPiece:
    """A piece of the finished stock, or one that has left it.

    `orders`: the ids of those that it is or was in. `beyond`: the lot that it still counts in,
    beyond what the lowered count needs; None outside.
    """

    state: PieceState
    orders: frozenset[str]
    beyond: str | None = None

    @property
    def name(self) -> str:
        """What it is, and where it was."""
        was = self.came_from
        return self.state.name + (f", was {was}" if was else "")

    @property
    def short(self) -> str:
        """What it is called for at the keyboard: the beginning of its id."""
        return self.state.uuid[:8]

    @property
    def came_from(self) -> str:
        """The lot that it is still in, or was in last: 'Plum 3 of stair-window'; "" for none."""
        state, left = self.state, self.state.lots_left
        if state.commission is not None:
            return _lot_words(state.commission, state.lot, state.number)
        return _lot_words(left[-1].commission, left[-1].lot, left[-1].number) if left else ""

    @property
    def is_there(self) -> bool:
        """Whether it lies in stock."""
        state = self.state
        return state.away is None and state.delivered is None and not state.returned

    @property
    def says(self) -> str:
        """How it stands, in a few words."""
        away = self.state.away
        if away is None and self.state.delivered is not None:
            return f"handed over on {self.state.delivered}"
        if away is None and self.state.returned:
            return "came back for repair"
        if away is None:
            said = "in stock" if self.state.status == "good" else f"in stock, a {self.state.status}"
            return said if self.beyond is None else f"{said}, not needed by its order"
        return away_words(away)


def away_words(away: TimeAway) -> str:
    """How a piece left the stock, for how much, and when."""
    price = "" if away.price is None else f" for {away.price} {away.currency}".rstrip()
    return f"{away.how}{price} on {away.day}"


def _lot_words(commission: str, lot: str | None, number: int | None) -> str:
    piece = " ".join(filter(None, (lot, "" if number is None else str(number))))
    return f"{piece} of {commission}" if piece else commission


def read_finished(journal: Journal, library: Library) -> tuple[StockPiece, ...]:
    """Read the finished stock, what is there first, then what left it; the newest first of each."""
    beyond, refs = dict(_beyond(journal, library)), LotRefs(journal, {})
    found = []
    for state in journal.pieces(open_only=False):
        is_free = state.commission is None and state.status in IN_STOCK and not state.trial
        is_here = state.delivered is None and not state.returned
        is_free = is_free and (is_here or bool(state.lots_left))
        if is_free or state.away is not None or state.uuid in beyond:
            found.append(StockPiece(state, refs.orders(state), beyond.get(state.uuid)))
    found.reverse()
    return tuple(sorted(found, key=lambda piece: not piece.is_there))


def in_stock(journal: Journal, library: Library, piece: str) -> StockPiece | None:
    """A piece of the finished stock, or one that left it, by its id; None for any other."""
    state = journal.state(piece)
    if state.open or (state.commission is not None and not _gave_to_stock(journal)):
        return None
    found = read_finished(journal, library)
    return next((one for one in found if one.state.uuid == piece), None)


def _gave_to_stock(journal: Journal) -> set[str]:
    """The ids of the orders, cancelled or of a lowered count, that pieces went to stock from."""
    kept = ((event.piece, said.surplus) for event, said in journal.each(CommissionKept))
    off = ((event.piece, said.surplus) for event, said in journal.each(CommissionCancelled))
    gone = (*kept, *off)
    return {order for order, surplus in gone if any(one.goes == "stock" for one in surplus)}


def _beyond(journal: Journal, library: Library) -> Iterator[tuple[str, str]]:
    """Pieces beyond a lowered count that went to stock, with their lots: those begun last."""
    gave = _gave_to_stock(journal)
    names = [name for name, order in order_ids(library).items() if order in gave] if gave else []
    for name in names:
        try:
            book = open_book(library, journal, name)
        except (DocumentError, Fault):
            continue
        yield from _beyond_in(journal, book)


def _beyond_in(journal: Journal, book: CommissionBook) -> Iterator[tuple[str, str]]:
    settled, own_lots = book.history.settled(book.commission), book.lots(journal)
    found = read_pieces(journal, book)
    for lot in book.commission.lots:
        own = found.of_lot(lot)
        good = sum(piece.keeps_promise for piece in own)
        was = settled.get(lot.id or "", Settled())
        count = was.apart(good, lot.pieces) - was.charged
        # A cancelled order needs no sample and no tray any more.
        free = [
            piece
            for piece in own
            if piece.status in ("made", "good", *(("packed",) if was.is_off else ()))
            and (was.is_off or not piece.state.sample)
        ]
        for piece in free[::-1][: max(0, count)]:
            yield piece.state.uuid, lot.name
    # Of a lot that was taken out of the order, all that was not charged.
    now = {lot.id for lot in book.commission.lots}
    gone: dict[str, list[PieceState]] = {}
    for state in journal.pieces(open_only=False):
        own_id = own_lots.lot_of(state)
        if own_id and own_id not in now and state.status == "good" and not state.trial:
            gone.setdefault(own_id, []).append(state)
    for own_id, states in gone.items():
        there = [state for state in states if state.delivered is None and not state.returned]
        there.sort(key=lambda state: (state.number or 0, state.uuid))
        # Who pays for some of them gets those that are not handed over yet.
        owed = settled.get(own_id, Settled()).charged - (len(states) - len(there))
        for state in there[::-1][: len(there) - max(0, owed)]:
            yield state.uuid, state.lot or ""


def called(pieces: Iterable[StockPiece], name: str) -> StockPiece:
    """The piece whose id begins so, or the only one of a name. Raises Fault with what there is."""
    known = list(pieces)
    found = [piece for piece in known if len(name) >= 6 and piece.state.uuid.startswith(name)]
    found = found or [p for p in known if name in (p.name, p.came_from, p.state.name)]
    if len(found) == 1:
        return found[0]
    names = "; ".join(f"{piece.short} {piece.name}" for piece in (found or known)[:6])
    if found:
        raise Fault(f"'{cleaned(name, 40)}' is more than one piece: {names}")
    raise Fault(f"there is no piece '{cleaned(name, 40)}' in stock; there are: {names or 'none'}")


def brought(pieces: Iterable[StockPiece]) -> tuple[str, ...]:
    """What the stock brought, by currency: '55.00 EUR'."""
    sums: dict[str, Decimal] = {}
    for away in (away for piece in pieces for away in piece.state.aways):
        if away.price is not None:
            sums[away.currency] = sums.get(away.currency, Decimal(0)) + Decimal(away.price)
    return tuple(f"{shown(sums[one])} {one}".rstrip() for one in sorted(sums))


def given_by(pieces: Iterable[StockPiece], order: str) -> tuple[StockPiece, ...]:
    """The pieces that an order gave to the stock, by its id."""
    return tuple(piece for piece in pieces if order in piece.orders)


def put_back(state: PieceState) -> tuple[PutIntoLot, str | None]:
    """The event that puts a piece into the lot that it is or was last in, and that lot's name."""
    if state.commission is not None:
        put = PutIntoLot(state.commission, state.number, state.commission_id, state.lot_id)
        return put, state.lot
    if not state.lots_left:
        return PutIntoLot(None), None
    left = state.lots_left[-1]
    return PutIntoLot(left.commission, left.number, left.commission_id, left.lot_id), left.lot


def left_with(how: Leave, day: str, price: str | None, currency: str) -> LeftStock:
    """The event that a piece left the stock. Raises Fault where the price is missing or too much.

    Only what is sold has to have a price; what is given away or lost has none.
    """
    if how == "sold" and price is None:
        raise Fault("say for how much it is sold, as 25.00")
    if how in ("given away", "lost") and price is not None:
        raise Fault(f"what is {how} has no price")
    return LeftStock(how, day, price, currency if price is not None else "")
