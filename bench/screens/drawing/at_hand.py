"""The stock as the board asks for it: what is left of each bead, by its tubes."""

from __future__ import annotations

from collections.abc import Mapping

from bench.commission.stock_tubes import read_shelf
from bench.documents.errors import DocumentError
from bench.documents.stock import Shelf, Stock, read_stock
from bench.journal.errors import JournalError
from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.host import BoardHost


def stock_at_hand(companion: DrawingCompanion) -> tuple[Shelf, str]:
    """The stock, and what kept it from being read: it is empty then."""
    try:
        if companion.journal is None:
            return read_stock(companion.session.home), ""
        return read_shelf(companion.journal, companion.library), ""
    except (DocumentError, JournalError) as error:
        return Shelf(Stock(), None), str(error)


def named_beads(host: BoardHost) -> Mapping[str, str]:
    """The colours #rrggbb of the maker's own beads by their names: in stock, then on the board."""
    shelf, _ = stock_at_hand(host.companion)
    stock = {entry.name: entry.colour for entry in shelf.stock.beads if entry.colour}
    beads = host.drawing.draft.shown().beads.values()
    return {bead.name: bead.colour for bead in beads} | stock
