"""In which order pieces are begun where the maker makes them by their places."""

from __future__ import annotations

from bench.commission.book import CommissionBook
from bench.commission.hanging_plan import kept_keys, lot_of, places_in, present
from bench.commission.pieces import CommissionPieces
from bench.journal.store import Journal


def lots_by_place(
    journal: Journal, book: CommissionBook, found: CommissionPieces
) -> tuple[tuple[int, str], ...]:
    """The places (from 1) whose pieces are still to begin, in their order, each with its lot's id.

    Nothing where the maker does not make them so, or no arrangement was kept.
    """
    hanging = book.commission.hanging
    if hanging is None or not hanging.made_by_place:
        return ()
    known, begun = [], set()
    for lot in book.commission.lots:
        if lot.hangs:
            known += [f"{lot.id}/{number}" for number in found.numbers(lot)]
            begun |= {f"{lot.id}/{number}" for number in found.begun_numbers(lot)}
    keys = present(kept_keys(journal, book)[: len(places_in(book))], known)
    to_begin = ((place, key) for place, key in enumerate(keys, 1) if key and key not in begun)
    return tuple((place, lot_of(key)) for place, key in to_begin)
