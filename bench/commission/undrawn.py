"""Pieces whose beads were loaded without the program, so that no tube has given them yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bench.commission.loadings import read_loadings
from bench.commission.lot_refs import OrderLots
from bench.commission.tube_book import Tube, read_tubes
from bench.craft.words import plural
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal


def undrawn(journal: Journal, tubes: Sequence[Tube]) -> list[PieceState]:
    """The pieces that drew from no tube, and were begun after one came that is not counted since.

    Of those that are only typed in, the ones of an order.
    """
    came = [tube for tube in tubes if not tube.is_asked]
    return [
        loading.state
        for loading in (read_loadings(journal) if came else ())
        if not loading.tubes and _is_loaded(loading.state)
        if any(_may_have_given(tube, loading.state) for tube in came)
    ]


def _may_have_given(tube: Tube, state: PieceState) -> bool:
    began = state.started_wall or 0.0
    return tube.since < began and tube.counted_at <= began


def not_drawn(journal: Journal, tubes: Sequence[Tube]) -> Iterator[str]:
    """Say which pieces they are, where there are any."""
    found = undrawn(journal, tubes)
    if found:
        names = "; ".join(f"{state.uuid[:8]} {state.name}" for state in found[:4])
        more = f" and {len(found) - 4} more" if len(found) > 4 else ""
        yield f"loaded without the program, and not drawn from any tube: {names}{more} (--draw)"


def _is_loaded(state: PieceState) -> bool:
    """Whether its beads were put on without the program."""
    if not state.hash:
        return state.commission is not None and not state.open
    return not state.blank and not state.loaded and state.stage != "load"


def undrawn_said(journal: Journal, lots: OrderLots) -> Iterator[str]:
    """Say how many of an order's pieces they are, where there are any."""
    found = undrawn(journal, [*read_tubes(journal).values()])
    pieces = sum(lots.lot_of(state) is not None for state in found)
    if pieces:
        yield f"{plural(pieces, 'piece')} drew from no tube: the tubes' page takes it out of them"
