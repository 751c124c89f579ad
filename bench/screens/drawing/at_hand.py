"""The stock as the board asks for it: what is left of each bead, by its tubes."""

from __future__ import annotations

from bench.commission.stock_tubes import read_shelf
from bench.documents.errors import DocumentError
from bench.documents.stock import Shelf, Stock, read_stock
from bench.journal.errors import JournalError
from bench.screens.drawing.companion import DrawingCompanion


def stock_at_hand(companion: DrawingCompanion) -> tuple[Shelf, str]:
    """The stock, and what kept it from being read: it is empty then."""
    try:
        if companion.journal is None:
            return read_stock(companion.session.home), ""
        return read_shelf(companion.journal, companion.library), ""
    except (DocumentError, JournalError) as error:
        return Shelf(Stock(), None), str(error)
