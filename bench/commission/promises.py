"""Tubes that are promised twice: to accepted commissions that together take more than is left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bench.commission.bead_kind import BeadKind, kind_of
from bench.commission.book import CommissionBook
from bench.commission.buying import dye_lots_of, held_by_dye_lot
from bench.commission.other_orders import accepted_books, accepted_ids
from bench.commission.planned_dye_lots import wants_of
from bench.commission.stock_tubes import read_shelf
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.documents.stock import Shelf
from bench.journal.store import Journal


@dataclass(frozen=True, slots=True)
class Promise:
    """So many beads of a dye lot that the pieces still to begin of a commission take."""

    commission: str
    kind: BeadKind
    dye_lot: str
    beads: int
    held: float
    """What is left of the dye lot."""


def promised_twice(
    journal: Journal, library: Library, settings: Settings, commission: str | None = None
) -> tuple[str, ...]:
    """Say which dye lots are promised to several commissions and are not enough for all of them.

    Of one commission alone where that is named. A commission that cannot be read promises nothing.
    """
    ids = accepted_ids(journal)
    open_ones = [*accepted_books(journal, library, ids)] if len(ids) > 1 else []
    if len(open_ones) < 2:
        return ()
    shelf = read_shelf(journal, library)
    by_lot: dict[tuple[BeadKind, str], list[Promise]] = {}
    for book in open_ones:
        for promise in _promises(journal, library, settings, shelf, book):
            by_lot.setdefault((promise.kind, promise.dye_lot), []).append(promise)
    return tuple(
        _said(promises)
        for promises in by_lot.values()
        if len(promises) > 1 and sum(p.beads for p in promises) > promises[0].held
        if commission is None or any(p.commission == commission for p in promises)
    )


def _said(promises: list[Promise]) -> str:
    (size, _, name), dye_lot = promises[0].kind, promises[0].dye_lot
    whom = " and ".join(f"'{p.commission}' ({p.beads})" for p in promises)
    label = f", dye lot {dye_lot}" if dye_lot else ""
    return (
        f"{size} {name}{label}: promised to {whom}, and {promises[0].held:.0f} are left: buy, or"
        " give one of them another dye lot"
    )


def _promises(
    journal: Journal, library: Library, settings: Settings, shelf: Shelf, book: CommissionBook
) -> Iterator[Promise]:
    for want in wants_of(journal, library, settings, shelf, book):
        held = held_by_dye_lot(want, settings.thumb.tube_g)
        taken: dict[str, int] = {}
        given = dye_lots_of(want, settings.thumb.tube_g)
        for lot_want, dye_lot in zip(want.lots, given.dye_lots, strict=True):
            if dye_lot is not None:
                beads = want.spare.beads_for(lot_want.pieces * lot_want.each)
                taken[dye_lot] = taken.get(dye_lot, 0) + beads
        for dye_lot, beads in taken.items():
            yield Promise(book.name, kind_of(want.bead), dye_lot, beads, held[dye_lot])
