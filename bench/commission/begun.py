"""The pieces in the making of a commission, read from the journal."""

from __future__ import annotations

from collections.abc import Iterator

from bench.commission.lot_refs import OrderLots
from bench.commission.progress import BegunPiece
from bench.journal.frozen import frozen_work
from bench.journal.piece_times import piece_times
from bench.journal.store import Journal


def begun_pieces(journal: Journal, lots: OrderLots) -> Iterator[BegunPiece]:
    """Each of an order's pieces in the making: how it stands, what it took so far."""
    for state in journal.pieces():
        if lots.lot_of(state) is not None:
            state = journal.timed(state.uuid)
            work = frozen_work(journal.started(state.uuid))
            since = None if state.presses is None else state.presses.dry_since
            yield BegunPiece(state, piece_times(state, work), since)
