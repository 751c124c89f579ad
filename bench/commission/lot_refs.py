"""Which lot of which order a piece belongs to: by ids, whatever either is called.

Pieces of older journals name both without an id. Those names are looked up in the versions of
orders that the journal holds, so that every bench with the same events finds the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from bench.commission.identity import lot_id_of, order_id_of, with_ids
from bench.commission.lot_number import Settled, numbers_apart
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

    def __init__(
        self,
        journal: Journal | None,
        files: Mapping[str, Commission],
        histories: Mapping[str, History] | None = None,
    ) -> None:
        """Know what is at hand.

        `files`: orders with their ids, by their files' names; `histories`: theirs, by their ids.
        """
        self._journal, self._files = journal, files
        self._ids: dict[str, set[str]] | None = None
        self._histories = {**(histories or {})}
        self._by_name: dict[str, Mapping[tuple[str, Variant], list[str]]] = {}
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

        Of several it is the one that the bench where the piece was begun had kept under that name
        last before.
        """
        orders = sorted(self._named(name))
        found = [LotRef(order, own) for order in orders
                 for own in self._called(order).get((lot, kind), ())]  # fmt: skip
        found = found or [LotRef(order, "") for order in orders]
        if not orders:
            order = order_id_of(name)
            found = [LotRef(order, lot_id_of(order, lot))]
        if len(found) == 1:
            return found[0], True
        begun = self.begun(piece)
        return max(found, key=lambda ref: self._nearness(ref, name, lot, begun)), False

    def _nearness(
        self, ref: LotRef, name: str, lot: str, begun: Event | None
    ) -> tuple[int, bool, int]:
        """The greater, the sooner a lot is the one that a piece was begun for."""
        bench, number = ("", 0) if begun is None else (begun.bench, begun.number)
        own = [
            version.number
            for version in self._history(ref.order).versions
            if version.bench == bench and version.name == name
            if any(one.id == ref.lot and one.name == lot for one in version.commission.lots)
        ]
        before = [kept for kept in own if kept < number]
        here = self._journal is not None and bench == self._journal.bench
        is_file = here and name in self._files and self._files[name].id == ref.order
        return max(before, default=0), is_file, -min(own, default=2**53)

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

    def _called(self, order: str) -> Mapping[tuple[str, Variant], list[str]]:
        """The ids of the lots that an order ever had, by what they were called and are or were of.

        Those of its file are the last.
        """
        if order not in self._by_name:
            kept = (version.commission for version in self._history(order).versions)
            files = (file for file in self._files.values() if file.id == order)
            lots = [lot for commission in (*kept, *files) for lot in commission.lots]
            self._by_name[order] = lots_called(lots)
        return self._by_name[order]

    def begun(self, piece: Piece) -> Event | None:
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
        whole.id,
        LotRefs(journal, {name: whole}, {whole.id: history}),
        history.settled(whole),
        history.cancelled,
    )


def given_anew(journal: Journal) -> Mapping[str, str]:
    """What to tell, by the piece, of those whose number another one of their lot has."""
    refs, lots = LotRefs(journal, {}), dict[LotRef, dict[str, PieceState]]()
    left: dict[LotRef, list[int | None]] = {}
    for state in journal.pieces(open_only=False):
        for was, number in refs.left(state):
            left.setdefault(was, []).append(number)
        ref = refs.of(state)
        if ref is not None and state.counts:
            lots.setdefault(ref, {})[state.uuid] = state
    found = {}
    for ref, states in lots.items():
        given = {piece: state.number for piece, state in states.items()}
        for piece, number in numbers_apart(given, left.get(ref, ())).items():
            state = states[piece]
            if number != state.number:
                begun = refs.begun(state)
                is_own = begun is not None and begun.bench == journal.bench
                where = "here" if is_own else "at another bench"
                found[piece] = (
                    f"there are two {state.lot} {state.number} of '{state.commission}': the one"
                    f" begun {where} is {state.lot} {number} now; change its tag"
                )
    return found


def told_anew(before: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """What `given_anew` says now and did not say before."""
    return (said for piece, said in now.items() if before.get(piece) != said)


def lots_called(lots: Iterable[Lot]) -> Mapping[tuple[str, Variant], list[str]]:
    """The ids of lots by every name that they have, with every kind that their pieces are of.

    Of those that had one name the last comes first; `lots` are in the order of their versions.
    """
    names: dict[tuple[str, str], None] = {}
    kinds: dict[str, set[Variant]] = {}
    for lot in lots:
        if lot.id is not None:
            names.pop((lot.name, lot.id), None)
            names[lot.name, lot.id] = None
            kinds.setdefault(lot.id, set()).add(lot.kind)
    found: dict[tuple[str, Variant], list[str]] = {}
    for name, own in reversed(names):
        for kind in kinds[own]:
            found.setdefault((name, kind), []).append(own)
    return found
