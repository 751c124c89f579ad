"""Which lot of which order a piece belongs to: by ids, whatever either is called.

Pieces of older journals name both without an id. Those names are looked up in the versions of
orders that the journal holds, so that every bench with the same events finds the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from bench.commission.identity import lot_id_of, order_id_of, with_ids
from bench.commission.lot_number import Settled
from bench.commission.versions import History, read_history
from bench.documents.commission import Commission, Lot
from bench.journal.commission_payloads import CommissionCancelled, CommissionKept
from bench.journal.events import Event
from bench.journal.inspection_payloads import PutIntoLot
from bench.journal.payloads import PieceStarted
from bench.journal.piece_state import PieceState
from bench.journal.piece_times import PieceTimes
from bench.journal.store import Journal
from bench.pace.records import Variant

Piece = PieceState | PieceTimes


@dataclass(frozen=True, slots=True)
class LotRef:
    """A lot by its order's id and its own; the lot is "" for a piece of the order alone."""

    order: str
    lot: str


class LotRefs:
    """Says of pieces which lots they belong to."""

    def __init__(self, journal: Journal | None, files: Mapping[str, Commission]) -> None:
        """`files`: orders with their ids, by their files' names, as far as they are at hand."""
        self._journal, self._files = journal, files
        self._ids: dict[str, set[str]] | None = None
        self._histories: dict[str, History] = {}
        self._known: dict[tuple[str, str, Variant], LotRef] = {}

    def of(self, piece: Piece) -> LotRef | None:
        """The lot that a piece belongs to; None for a piece of no order."""
        if piece.commission_id is not None:
            return LotRef(piece.commission_id, piece.lot_id or "")
        if piece.commission is None:
            return None
        said = (piece.commission, piece.lot or "", piece.kind)
        if said not in self._known:
            found, is_sure = self._by_names(piece, *said)
            if not is_sure:
                return found
            self._known[said] = found
        return self._known[said]

    def numbers(self, pieces: Iterable[Piece], lot: LotRef) -> Iterator[int | None]:
        """The numbers that pieces have in a lot, and those that they had there and left."""
        for piece in pieces:
            if self.of(piece) == lot:
                yield piece.number
            yield from (number for ref, number in self.left(piece) if ref == lot)

    def left(self, piece: Piece) -> Iterator[tuple[LotRef, int | None]]:
        """The lots that a piece was in and left, with the number that it keeps there."""
        for left in piece.lots_left:
            was = replace(
                piece,
                commission=left.commission,
                commission_id=left.commission_id,
                lot=left.lot,
                lot_id=left.lot_id,
            )
            ref = self.of(was)
            if ref is not None:
                yield ref, left.number

    def orders(self, piece: Piece) -> frozenset[str]:
        """The ids of the orders that a piece belongs to, or did."""
        now = self.of(piece)
        here = [] if now is None else [now.order]
        return frozenset([*here, *(ref.order for ref, _ in self.left(piece))])

    def _by_names(self, piece: Piece, name: str, lot: str, kind: Variant) -> tuple[LotRef, bool]:
        """The lot by what it was called; and whether that holds for all pieces that say the same.

        Of several orders of one name it is the one that the bench where the piece was begun had
        kept last before; an order that has no such lot comes after those that have.
        """
        found = {order: lot_called(self._lots(order), lot, kind) for order in self._named(name)}
        fitting = [order for order, own in found.items() if own] or [*found]
        if not fitting:
            order = order_id_of(name)
            return LotRef(order, lot_id_of(order, lot)), True
        if len(fitting) == 1:
            return LotRef(fitting[0], found[fitting[0]]), True
        begun = self._begun(piece)
        nearest = max(fitting, key=lambda order: self._nearness(order, name, begun))
        return LotRef(nearest, found[nearest]), False

    def _nearness(
        self, order: str, name: str, begun: Event | None
    ) -> tuple[bool, int, bool, int, str]:
        """The greater, the sooner an order is the one that a piece was begun for."""
        bench, number = ("", 0) if begun is None else (begun.bench, begun.number)
        own = [version.number for version in self._history(order).versions
               if version.bench == bench and version.name == name]  # fmt: skip
        before = [kept for kept in own if kept < number]
        here = self._journal is not None and bench == self._journal.bench
        is_file = here and name in self._files and self._files[name].id == order
        return bool(before), max(before, default=0), is_file, -min(own, default=2**53), order

    def _named(self, name: str) -> set[str]:
        """The ids of all orders that were ever called so."""
        if self._ids is None:
            self._ids = {}
            for event, said in () if self._journal is None else self._journal.each(CommissionKept):
                self._ids.setdefault(said.name, set()).add(event.piece)
        file = self._files.get(name)
        return self._ids.get(name, set()) | (set() if file is None else {file.id or ""})

    def _history(self, order: str) -> History:
        if order not in self._histories:
            known = History() if self._journal is None else read_history(self._journal, order)
            self._histories[order] = known
        return self._histories[order]

    def _lots(self, order: str) -> list[Lot]:
        """The lots that an order ever had, those of its file last."""
        kept = (version.commission for version in self._history(order).versions)
        files = (file for file in self._files.values() if file.id == order)
        return [lot for commission in (*kept, *files) for lot in commission.lots]

    def _begun(self, piece: Piece) -> Event | None:
        """The event that said last which lot the piece is for."""
        uuid = piece.uuid if isinstance(piece, PieceState) else piece.piece
        events = () if self._journal is None else self._journal.events(uuid)
        said = [e for e in events if isinstance(e.payload, PieceStarted | PutIntoLot)]
        return said[-1] if said else None


@dataclass(frozen=True)
class OrderLots:
    """The lots of one order, by their ids: which pieces are theirs, and what is settled of them.

    `cancelled`: when and why the order was.
    """

    order: str
    refs: LotRefs
    settled: Mapping[str, Settled] = field(default_factory=dict)
    cancelled: CommissionCancelled | None = None

    def lot_of(self, piece: Piece) -> str | None:
        """The id of the piece's lot: "" of none of its lots, None of another order or none."""
        ref = self.refs.of(piece)
        return ref.lot if ref is not None and ref.order == self.order else None

    def ref(self, lot: Lot) -> LotRef:
        """One of its lots."""
        return LotRef(self.order, lot.id or "")


def order_lots(
    journal: Journal | None, name: str, commission: Commission, history: History | None = None
) -> OrderLots:
    """Return the lots of the commission of a file's name, by the versions in the journal."""
    whole = with_ids(name, commission)
    assert whole.id is not None
    if history is None:
        history = History() if journal is None else read_history(journal, whole.id)
    return OrderLots(
        whole.id, LotRefs(journal, {name: whole}), history.settled(whole), history.cancelled
    )


def lot_called(lots: Iterable[Lot], name: str, kind: Variant) -> str:
    """The id of the lot of that name whose pieces are or were of a kind; "" if there is none.

    Of several the last one: `lots` are in the order in which they were kept.
    """
    lots = [*lots]
    of_kind = {lot.id for lot in lots if lot.kind == kind}
    named = [lot.id for lot in lots if lot.name == name and lot.id in of_kind]
    return named[-1] or "" if named else ""
