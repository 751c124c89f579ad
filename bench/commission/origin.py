"""The piece whose recipe card a lot was begun from, with the order that it was made for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bench.commission.book import CommissionBook, open_book
from bench.commission.pieces import CommissionPieces, LotPiece, read_pieces
from bench.craft.text import Fault
from bench.documents.commission import Like, Lot
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.store import Journal


@dataclass(frozen=True)
class Origin:
    """A piece, the order that it was made for, and the pieces of that."""

    piece: LotPiece
    book: CommissionBook
    found: CommissionPieces


def like_of(piece: LotPiece, book: CommissionBook) -> Like:
    """What a lot keeps that is begun from a piece's card."""
    return Like(piece=piece.state.uuid, called=f"{piece.name} of {book.commission.title}"[:200])


def origin_of(journal: Journal, library: Library, lot: Lot) -> Origin | None:
    """Where a lot comes from; None for one of its own, or where that order is not here."""
    if lot.like is None:
        return None
    try:
        state = journal.state(lot.like.piece)
    except KeyError:
        return None
    for book in _books(journal, library, state.commission):
        if book.lots(journal).lot_of(state) is None:
            continue
        found = read_pieces(journal, book)
        for piece in found.pieces:
            if piece.state.uuid == state.uuid:
                return Origin(piece, book, found)
    return None


def _books(journal: Journal, library: Library, first: str | None) -> Iterator[CommissionBook]:
    """The orders that can be read, the one of a name first."""
    names = [entry.name for entry in library.commissions()]
    for name in sorted(names, key=lambda name: name != first):
        try:
            yield open_book(library, journal, name)
        except (DocumentError, Fault):
            continue
