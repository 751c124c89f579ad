"""Whether a further piece of a lot is to be begun from one that is in hand, as in a batch."""

from __future__ import annotations

from bench.commission.account import read_account
from bench.commission.book import book_of
from bench.commission.pieces import read_pieces, waits_for_sample
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal


def held_back(journal: Journal, library: Library, state: PieceState) -> str:
    """Why no further piece of a piece's lot is to be begun; "" if one is, or it is in no lot.

    Lots of an order that is not accepted wait for no sample.
    """
    try:
        book = book_of(library, journal, state)
    except (DocumentError, Fault):
        return ""
    if book is None:
        return ""
    found = read_pieces(journal, book)
    own = found.of_id(state.uuid)
    if own is None:
        return ""
    if not found.counts(own.lot)["planned"]:
        return f"every piece of {own.lot.name} is made or begun; the order's page begins one more"
    account = read_account(journal, book.id, book.commission, book.history)
    return "" if account.acceptance is None else waits_for_sample(found, own.lot)
