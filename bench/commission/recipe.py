"""The recipe of a sample as it was made, and what is different by now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bench.answers.recipe import RecipeAnswer
from bench.commission.again import beads_differ, lacking, pace_differs, pattern_differs
from bench.commission.book import CommissionBook
from bench.commission.closing import mean_s
from bench.commission.needs import needs_of
from bench.commission.origin import Origin, origin_of
from bench.commission.overview import worked_lots
from bench.commission.pieces import CommissionPieces, LotPiece, read_pieces
from bench.commission.progress import lot_works
from bench.commission.recipe_card import recipe_card
from bench.commission.stock_tubes import read_shelf
from bench.craft.text import Fault
from bench.documents.commission import Lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.frozen import frozen_work
from bench.journal.piece_times import piece_times
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.pace.model import Model


def sample_piece(found: CommissionPieces, lot: Lot) -> LotPiece:
    """The piece that a lot's recipe is taken from: the sample, else the first good one."""
    signed = found.sample_of(lot)
    sample = signed.piece or signed.former
    if sample is not None:
        return sample
    good = [p for p in found.of_lot(lot) if p.status in ("made", "good", "packed", "delivered")]
    if not good:
        raise Fault(f"no piece of '{lot.name}' is made yet; its recipe is that of its sample")
    return good[0]


def card_of(journal: Journal, library: Library, book: CommissionBook, lot: Lot) -> Origin:
    """The piece that a lot's card is of: its own sample, else the one that it was begun from.

    Raises Fault where there is neither.
    """
    found = read_pieces(journal, book)
    try:
        return Origin(sample_piece(found, lot), book, found)
    except Fault:
        origin = origin_of(journal, library, lot)
        if origin is None:
            raise
        return origin


def read_recipe(
    journal: Journal,
    library: Library,
    settings: Settings,
    book: CommissionBook,
    lot: Lot,
    model: Model,
    pieces: int = 1,
) -> RecipeAnswer:
    """Read the recipe of a lot, and what so many pieces more would have differently.

    A lot of which nothing is made has the card of the piece that it was begun from.
    model: the maker's pace of today. Raises Fault where no piece of the lot was made here,
    DocumentError or Fault for a pattern or stock that is wrong.
    """
    card = card_of(journal, library, book, lot)
    piece = card.piece
    made = WorkedPattern.for_piece(Braid(journal, piece.state.uuid), settings)
    shelf = read_shelf(journal, library)
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    works = lot_works(library, book.commission.model_copy(update={"lots": (lot,)}))
    (today,) = worked_lots(journal, library, settings, works, weighed)
    told = recipe_card(journal, card.book, card.found, piece, made, settings)
    needs = needs_of(lot.name, [replace(today, pieces=pieces)], shelf, settings)
    differs = (
        pattern_differs(journal, library, piece.state, lot, today.made),
        *beads_differ(told.beads, pieces),
        pace_differs(_took_h(journal, card.found.of_lot(piece.lot)), today.made, model),
        *(lacking(needs) if shelf.file is not None else ()),
    )
    like = None if lot.like is None else lot.like.called
    return replace(told, like=like, pieces=pieces, differs=tuple(filter(None, differs)))


def _took_h(journal: Journal, pieces: Sequence[LotPiece]) -> float | None:
    """The mean hours of the lot's good pieces that were timed."""
    good = [piece.state.uuid for piece in pieces if piece.keeps_promise]
    times = (piece_times(journal.timed(one), frozen_work(journal.started(one))) for one in good)
    each_s, _ = mean_s(times)
    return None if each_s is None else each_s / 3600
