"""The piece whose recipe card a lot was begun from, with the order that it was made for."""

from __future__ import annotations

from dataclasses import dataclass

from bench.commission.book import CommissionBook, book_of
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
        book = book_of(library, journal, state)
    except (KeyError, DocumentError, Fault):
        return None
    if book is None:
        return None
    found = read_pieces(journal, book)
    own = found.of_id(state.uuid)
    return None if own is None else Origin(own, book, found)
