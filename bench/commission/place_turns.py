"""In which order pieces are begun where the maker makes them by their places."""

from __future__ import annotations

from collections.abc import Iterator

from bench.commission.book import CommissionBook
from bench.commission.hanging_plan import kept_keys, lot_of, places_in, present
from bench.commission.pieces import IN_HAND, CommissionPieces, read_pieces, waits_for_sample
from bench.journal.store import Journal

PlaceTurn = tuple[int, str]
"""A place (from 1) and the id of the lot whose piece hangs there."""


def next_by_place(
    journal: Journal, book: CommissionBook, found: CommissionPieces, *, accepted: bool
) -> PlaceTurn | None:
    """The first place whose piece is to be gone on with or begun; None where none is.

    Drying pieces are passed over, and where the order is accepted lots that wait for their sample.
    """
    lots = {lot.id: lot for lot in book.commission.lots}
    status = {f"{p.lot.id}/{p.state.number}": p.status for p in found.pieces}
    for place, key in _by_place(journal, book, found):
        now, lot = status.get(key), lots[lot_of(key)]
        waits = accepted and bool(waits_for_sample(found, lot))
        if (now is None and not waits) or (now in IN_HAND and now != "drying"):
            return place, lot_of(key)
    return None


def places_by_name(journal: Journal, book: CommissionBook) -> dict[str, int]:
    """The places (from 1) of pieces by their names; none where the maker does not go by them."""
    names = {lot.id: lot.name for lot in book.commission.lots}
    found = _by_place(journal, book, read_pieces(journal, book))
    return {f"{names[lot_of(key)]} {key.rpartition('/')[2]}": place for place, key in found}


def _by_place(
    journal: Journal, book: CommissionBook, found: CommissionPieces
) -> Iterator[tuple[int, str]]:
    hanging = book.commission.hanging
    if hanging is None or not hanging.made_by_place:
        return
    known = [
        f"{lot.id}/{number}"
        for lot in book.commission.lots
        if lot.hangs
        for number in found.numbers(lot)
    ]
    keys = present(kept_keys(journal, book)[: len(places_in(book))], known)
    yield from ((place, key) for place, key in enumerate(keys, 1) if key)
