"""Pieces whose beads were loaded without the program, so that no tube has given them yet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import partial

from bench.commission.loading_tubes import LoadingTubes
from bench.commission.loadings import read_loadings
from bench.commission.planned_dye_lots import planned_dye_lots
from bench.commission.tube_book import Tube
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeDrawn
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern


def undrawn(journal: Journal, tubes: Sequence[Tube]) -> list[PieceState]:
    """The pieces that were begun after the first tube came, and that drew from none.

    Of those that are only typed in, the ones of an order.
    """
    came = [tube.since for tube in tubes if not tube.is_asked]
    if not came:
        return []
    since = min(came)
    return [
        loading.state
        for loading in read_loadings(journal)
        if not loading.tubes and _is_loaded(loading.state)
        if (loading.state.started_wall or 0.0) > since
    ]


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


def draws_for(
    journal: Journal, library: Library, settings: Settings, state: PieceState
) -> tuple[TubeDrawn, ...]:
    """What such a piece takes from the tubes: its loads, core, thread, and what it uses up.

    Raises Fault where its pattern is not known any more, and where no tube of it is kept.
    """
    made = None
    with suppress(DocumentError, Fault, KeyError):
        if state.hash:
            made = WorkedPattern.for_piece(Braid(journal, state.uuid), settings)
        else:
            made = WorkedPattern.from_library(library, settings, *state.kind)
    if made is None:
        raise Fault(f"what {state.name} is made of is not known any more")
    planned = partial(planned_dye_lots, journal, library, settings, state, made)
    tubes = LoadingTubes(journal, state, made.pattern, planned)
    beads = Counter(letter for load in made.plan.loads for letter in load)
    strung = [
        TubeDrawn(one.tube, one.beads, "load")
        for letter, count in beads.items()
        if letter in made.pattern.beads
        for one in tubes.take(letter, count)
        if one.tube is not None
    ]
    found = (*strung, *tubes.beside(made, settings))
    if not found:
        raise Fault(f"no tube of what {state.name} is made of is kept")
    return found


def not_from(tube: Tube) -> TubeDrawn:
    """The event that says of such a piece that it took nothing from the tubes that are kept."""
    return TubeDrawn(tube.id, 0.0, "load")
