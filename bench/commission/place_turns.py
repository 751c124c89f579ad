"""In which order pieces are begun where the maker makes them by their places."""

from __future__ import annotations

from collections.abc import Iterator

from bench.commission.book import CommissionBook
from bench.commission.hanging_plan import kept_keys, key_of, lot_of, places_in, present
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
    status = {key_of(p.lot, p.state.number): p.status for p in found.pieces}
    for place, key in _by_place(journal, book, found):
        now, lot = status.get(key), lots[lot_of(key)]
        waits = accepted and bool(waits_for_sample(found, lot))
        if (now is None and not waits) or (now in IN_HAND and now != "drying"):
            return place, lot_of(key)
    return None


def places_by_name(journal: Journal, book: CommissionBook) -> dict[str, int]:
    """The places (from 1) of pieces by their names; none where the maker does not go by them.

    Pieces that are not begun get their numbers in the order in which they are.
    """
    found = read_pieces(journal, book)
    begun = {key_of(piece.lot, piece.state.number): piece.name for piece in found.pieces}
    planned: dict[str, Iterator[str]] = {}
    for lot in book.commission.lots:
        numbers = (n for n in found.numbers(lot) if key_of(lot, n) not in begun)
        planned[lot.id or ""] = iter([f"{lot.name} {number}" for number in numbers])
    names = (
        (place, begun.get(key) or next(planned[lot_of(key)], ""))
        for place, key in _by_place(journal, book, found)
    )
    return {name: place for place, name in names if name}


def _by_place(
    journal: Journal, book: CommissionBook, found: CommissionPieces
) -> Iterator[tuple[int, str]]:
    hanging = book.commission.hanging
    if hanging is None or not hanging.made_by_place:
        return
    known = [
        key_of(lot, number)
        for lot in book.commission.lots
        if lot.hangs
        for number in found.numbers(lot)
    ]
    keys = present(kept_keys(journal, book)[: len(places_in(book))], known)
    yield from ((place, key) for place, key in enumerate(keys, 1) if key)
