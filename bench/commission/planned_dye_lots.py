"""What the pieces still to begin of an order take of each bead, and from which dye lot."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bench.commission.bead_kind import BeadKind, kind_of
from bench.commission.book import CommissionBook, book_of
from bench.commission.buying import BeadWant, dye_lots_of
from bench.commission.needs import WorkedLot, bead_wants
from bench.commission.overview import begun_lots
from bench.commission.pieces import read_pieces
from bench.commission.progress import lot_works
from bench.commission.stock_tubes import read_shelf
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.documents.stock import Shelf
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.making.worked_pattern import WorkedPattern


def wants_of(
    journal: Journal,
    library: Library,
    settings: Settings,
    shelf: Shelf,
    book: CommissionBook,
    loading: str | None = None,
) -> list[BeadWant]:
    """What the pieces to begin take, with that of the lot (by its id) that is being loaded."""
    found, lots = read_pieces(journal, book), []
    for lot in book.commission.lots:
        planned = found.counts(lot)["planned"] + (lot.id == loading)
        if planned:
            lots.append(lot.model_copy(update={"pieces": planned}))
    if not lots:
        return []
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    works = lot_works(library, book.commission.model_copy(update={"lots": tuple(lots)}))
    worked = begun_lots(journal, library, settings, book.lots(journal), works, weighed)
    return bead_wants(worked, shelf, settings)


def planned_dye_lots(
    journal: Journal,
    library: Library,
    settings: Settings,
    state: PieceState,
    made: WorkedPattern,
) -> Mapping[BeadKind, str]:
    """The dye lots that the lot of a piece that is being loaded takes, by the order's plan.

    Of a piece of no order those that have enough for it. Nothing of an order that cannot be read.
    """
    try:
        book = book_of(library, journal, state)
        if book is None:
            alone, shelf = WorkedLot(made.name, made, 1), read_shelf(journal, library)
            return _given(bead_wants([alone], shelf, settings), alone.name, settings)
        own = book.lots(journal).lot_of(state)
        lot = next((lot for lot in book.commission.lots if lot.id == own), None)
        if lot is None:
            return {}
        shelf = read_shelf(journal, library)
        wants = wants_of(journal, library, settings, shelf, book, lot.id)
    except (DocumentError, Fault):
        return {}
    return _given(wants, lot.name, settings)


def _given(wants: Iterable[BeadWant], lot: str, settings: Settings) -> Mapping[BeadKind, str]:
    """What a lot takes, by its name, where it need not mix."""
    planned: dict[BeadKind, str] = {}
    for want in wants:
        given = dye_lots_of(want, settings.thumb.tube_g).dye_lots
        for of_lot, dye_lot in zip(want.lots, given, strict=True):
            if of_lot.name == lot and dye_lot is not None:
                planned[kind_of(want.bead)] = dye_lot
    return planned
