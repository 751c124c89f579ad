"""One commission with its file and its history: read, changed, kept."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from bench.commission.changing import counted, excess
from bench.commission.identity import customer_id, order_ids, with_ids
from bench.commission.joining import joined
from bench.commission.lot_refs import LotRefs, OrderLots, order_lots
from bench.commission.versions import History, Version, read_history
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.commission import Commission, Lot
from bench.documents.commission_writing import commission_json, written_commission
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.pattern_writing import stamp_of, write_document
from bench.documents.reading import read_document, read_text
from bench.journal.commission_payloads import (
    CommissionCancelled,
    CommissionKept,
    CustomerNamed,
    Surplus,
)
from bench.journal.events import Entry, new_id
from bench.journal.payload_base import JSON
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal


class MadeMore(Fault):
    """More pieces are `made` than a lowered count: whether they are charged has to be said."""

    def __init__(self, made: str) -> None:
        super().__init__(f"{made}: say whether they are charged or go to finished stock")
        self.made = made


@dataclass(frozen=True)
class CommissionBook:
    """A commission as it stands.

    `name`: its file's name; `file`: the maker's own file, there or not; `text`: what it comes from;
    `stamp`: of the maker's own file; `made`: good pieces by the lot's id; `bench`: the bench that
    it is read at; `library`: where its patterns are.
    """

    name: str
    file: Path
    text: str
    stamp: str | None
    commission: Commission
    history: History
    made: Mapping[str, int]
    bench: str = ""
    library: Library | None = None
    in_hand: Mapping[str, int] = field(default_factory=dict)
    """Pieces in the making by the lot's id."""
    handed: Mapping[str, int] = field(default_factory=dict)
    """Good pieces that were handed over by the lot's id."""

    @property
    def cancelled(self) -> CommissionCancelled | None:
        """When and why it was cancelled, or None."""
        return self.history.cancelled

    @property
    def heading(self) -> str:
        """Its title, and whether it is cancelled."""
        title = self.commission.title
        return title if self.cancelled is None else f"{title} (cancelled)"

    @property
    def id(self) -> str:
        """The subject of its events."""
        assert self.commission.id is not None
        return self.commission.id

    @property
    def known_as(self) -> frozenset[str]:
        """What pieces can say that they were begun for it: its id, or what its file was called."""
        return self.history.names | {self.id, self.name}

    def lots(self, journal: Journal) -> OrderLots:
        """Its lots, as the pieces of a journal belong to them."""
        return order_lots(journal, self.name, self.commission, self.history)

    def reopened(self, library: Library, journal: Journal) -> CommissionBook:
        """The same commission, read anew. Raises as `open_book` does."""
        return open_book(library, journal, self.name)

    def first(self, day: dt.date) -> tuple[Entry, ...]:
        """The event that keeps what the file says, where no kept version says it."""
        return tuple(_before(self, day))

    @property
    def changed_by_file(self) -> bool:
        """Whether somebody has changed the file since this bench kept it.

        One that says what an earlier version of this bench said was set back by hand; one that says
        what only another bench has gone on from is merely behind.
        """
        versions, passed = self.history.versions, self.history.passed(self.bench)
        own = _agreed(self.commission)
        return bool(versions) and all(
            _agreed(version.commission) != own
            for version in versions
            if version.event not in passed
        )

    @property
    def follows(self) -> tuple[Version, ...]:
        """The versions that a change of the file follows: those kept last here, else the last."""
        return self.history.kept_last(self.bench) or self.history.heads

    def joined(self, version: Version) -> Commission:
        """The order with what another bench's version has changed, beside what was changed here."""
        own = _agreed(self.commission)
        alike = [one for one in self.history.versions if _agreed(one.commission) == own]
        kept = self.history.kept_last(self.bench) or alike[-1:] or self.history.heads
        follows = [one.event for one in kept]
        return joined(self.commission, version, self.history, follows)

    @property
    def elsewhere(self) -> tuple[Version, ...]:
        """The versions that stand and are not what the file says: another bench kept them."""
        known = self.follows if self.changed_by_file else ()
        own = _agreed(self.commission)
        return tuple(
            version
            for version in self.history.heads
            if version not in known and _agreed(version.commission) != own
        )


def open_book(library: Library, journal: Journal, name: str) -> CommissionBook:
    """Read a commission with its history, also where a lot's pattern is gone.

    Raises DocumentError or Fault as the library does.
    """
    path = library.commission_path(name)
    commission = with_ids(path.stem, read_document(path, Commission))
    own = library.home / "commissions" / path.name
    assert commission.id is not None
    history = read_history(journal, commission.id)
    counts = _counts(journal, order_lots(journal, path.stem, commission, history))
    return CommissionBook(
        *(path.stem, own, read_text(path), stamp_of(own), commission, history, counts["made"]),
        *(journal.bench, library, counts["in hand"], counts["handed over"]),
    )


def book_of(library: Library, journal: Journal, piece: PieceState) -> CommissionBook | None:
    """Read the commission that a piece is of, whatever it is called now; None where it is of none.

    None too where it has no file here. Raises as `open_book` does.
    """
    if piece.commission is None:
        return None
    ids = order_ids(library)
    ref = LotRefs(journal, {}).of(piece)
    names = [name for name, order in ids.items() if ref is not None and order == ref.order]
    names += [piece.commission] if piece.commission in ids else []
    for name in dict.fromkeys(names):
        book = open_book(library, journal, name)
        if book.lots(journal).lot_of(piece) is not None:
            return book
    return None


def new_book(library: Library, name: str, commission: Commission) -> CommissionBook:
    """Return the book of a commission that is new. Raises DocumentError if there is such a file."""
    file = library.home / "commissions" / f"{name}.toml"
    if any(entry.name == name for entry in library.commissions()):
        raise DocumentError(file, "there is a commission of that name; choose another one")
    whole = with_ids(name, commission.model_copy(update={"id": new_id()}))
    return CommissionBook(name, file, "", None, whole, History(), {})


def keep(
    book: CommissionBook,
    commission: Commission,
    day: dt.date,
    reason: str = "",
    made_more_goes: str = "",
) -> tuple[Entry, ...]:
    """Write a changed commission's file; return the events that are to be written down.

    `made_more_goes`: "charged" or "stock", for pieces that are made beyond a lowered count.
    Raises MadeMore if that has to be said, DocumentError if the file cannot be written or was
    changed meanwhile; nothing is written then.
    """
    _check_begun(book, commission)
    settled = (book.history.settled(one) for one in (book.commission, commission))
    more = excess(book.commission, commission, book.made, *settled)
    surplus = _settled(
        (
            f"{one.made} of '{one.lot.name}' are made, {one.more} more than it would have"
            for one in more
        ),
        ((one.lot, one.more) for one in more),
        made_more_goes,
        book,
    )
    write_document(book.file, written_commission(commission, book.text), book.stamp)
    earlier = book.first(day)
    others = book.elsewhere if earlier else book.history.heads
    over = (*(entry.uuid for entry in earlier if entry.uuid), *_events(others))
    kept = CommissionKept(
        book.name, _content(commission), day.isoformat(), "app", over, reason, surplus
    )
    entries = [*earlier, Entry(kept, book.id, uuid=new_id())]
    if commission.whom != (book.commission.whom if book.history.versions else ""):
        named = CustomerNamed(book.id, commission.whom)
        entries.append(Entry(named, customer_id(book.id), uuid=new_id()))
    return tuple(entries)


def cancel(
    book: CommissionBook, day: dt.date, reason: str = "", made_goes: str = ""
) -> CommissionCancelled:
    """The event that cancels a commission.

    `made_goes`: "charged" or "stock", for the pieces that are made. Raises MadeMore if that has to
    be said, Fault if it is cancelled already.
    """
    if book.cancelled is not None:
        raise Fault(f"'{book.name}' is cancelled since {book.cancelled.day}")
    settled = book.history.settled(book.commission)
    made = [(lot, counted(lot, book.made, settled)) for lot in book.commission.lots]
    made = [(lot, pieces) for lot, pieces in made if pieces]
    said = (f"{pieces} of '{lot.name}' are made" for lot, pieces in made)
    return CommissionCancelled(
        day.isoformat(), reason, surplus=_settled(said, made, made_goes, book)
    )


def _settled(
    said: Iterable[str], made: Iterable[tuple[Lot, int]], goes: str, book: CommissionBook
) -> tuple[Surplus, ...]:
    """What becomes of pieces of lots: what is handed over goes to no stock, it is charged.

    Raises MadeMore with what is said if it was not chosen.
    """
    if not (lots := [*made]):
        return ()
    if goes not in ("charged", "stock"):
        raise MadeMore("; ".join(said))
    found = []
    for lot, pieces in lots:
        key = lot.id or ""
        here = book.made.get(key, 0) - book.handed.get(key, 0)
        stock = min(pieces, here) if goes == "stock" else 0
        found += [Surplus(key, stock, "stock")] if stock else []
        found += [Surplus(key, pieces - stock, "charged")] if pieces > stock else []
    return tuple(found)


def _check_begun(book: CommissionBook, commission: Commission) -> None:
    """Raise Fault where a lot with pieces becomes another kind, or goes out from under them.

    What another bench has decided, which knew nothing of them, can be taken over all the same.
    """
    after = {lot.id: lot for lot in commission.lots}
    decided = [{lot.id: lot.kind for lot in version.commission.lots} for version in book.elsewhere]
    for lot in book.commission.lots:
        now = after[lot.id].kind if lot.id in after else None
        if any(lots.get(lot.id) == now for lots in decided):
            continue
        key = lot.id or ""
        in_hand, begun = book.in_hand.get(key, 0), book.in_hand.get(key, 0) + book.made.get(key, 0)
        if in_hand and lot.id not in after:
            raise Fault(
                f"{plural(in_hand, 'piece')} of '{lot.name}' in hand: finish or give up what is"
                " begun of it, then take it out"
            )
        if begun and lot.id in after and after[lot.id].kind != lot.kind and _is_there(book, lot):
            raise Fault(
                f"'{lot.name}' has {plural(begun, 'piece')} already: another pattern, size or"
                " colourway is another lot"
            )


def _is_there(book: CommissionBook, lot: Lot) -> bool:
    """Whether what a lot is to be made of can still be read."""
    if book.library is None:
        return True
    try:
        plan = book.library.plan(book.library.pattern_path(lot.pattern))
        plan.pattern.resolve(lot.size, lot.colourway)
    except (DocumentError, Fault):
        return False
    return True


def _before(book: CommissionBook, day: dt.date) -> Iterator[Entry]:
    """What the file says, where no version that was kept says it."""
    if not book.text or (book.history.versions and not book.changed_by_file):
        return
    over = _events(book.follows)
    kept = CommissionKept(book.name, _content(book.commission), day.isoformat(), "file", over)
    yield Entry(kept, book.id, uuid=new_id())


def _events(versions: Iterable[Version]) -> tuple[str, ...]:
    return tuple(version.event for version in versions)


def _content(commission: Commission) -> dict[str, JSON]:
    """What the journal keeps of a commission: all but the customer."""
    content: dict[str, JSON] = commission_json(_agreed(commission))
    return content


def _agreed(commission: Commission) -> Commission:
    return commission.model_copy(update={"whom": ""})


def _counts(journal: Journal, lots: OrderLots) -> Mapping[str, Counter[str]]:
    """Pieces made, in hand, and handed over, by the id of the lot that they are for."""
    found = {what: Counter[str]() for what in ("made", "in hand", "handed over")}
    for state in journal.pieces(open_only=False):
        lot = None if state.trial else lots.lot_of(state)
        if not lot or not (state.open or state.status == "good"):
            continue
        found["in hand" if state.open else "made"][lot] += 1
        if not state.open and (state.delivered is not None or state.returned):
            found["handed over"][lot] += 1
    return found
