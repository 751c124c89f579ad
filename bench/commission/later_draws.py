"""Takes out of the tubes what a piece took that was loaded without the program."""

from __future__ import annotations

from collections import Counter
from contextlib import suppress
from functools import partial

from bench.commission.loading_tubes import LoadingTubes
from bench.commission.planned_dye_lots import planned_dye_lots
from bench.commission.tube_book import Tube, read_tubes
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.piece_state import PieceState
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeDrawn
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern


def draws_for(
    journal: Journal, library: Library, settings: Settings, state: PieceState
) -> tuple[TubeDrawn, ...]:
    """What such a piece takes from the tubes: its loads, core, thread, and what it uses up.

    A tube that was counted since then has it off already. Raises Fault where its pattern is not
    known any more, and where no tube of it is kept.
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
    at_hand = read_tubes(journal)
    began = state.started_wall or 0.0
    left = tuple(one for one in found if at_hand[one.tube].counted_at <= began)
    return left or (not_from(at_hand[found[0].tube]),)


def not_from(tube: Tube) -> TubeDrawn:
    """The event that says of such a piece that it took nothing from the tubes that are kept."""
    return TubeDrawn(tube.id, 0.0, "load")
