"""Begins the next piece: of a lot, of a batch of sets, and with the stage that is usual."""

from __future__ import annotations

from collections.abc import Iterable

from bench.commission.lot_number import next_number
from bench.commission.lot_refs import LotRef, LotRefs
from bench.craft.pattern import canonical
from bench.craft.stages import Stage
from bench.documents.commission import Lot
from bench.journal.events import fingerprint
from bench.journal.piece_state import GIVEN_UP, PieceState
from bench.journal.piece_times import PieceTimes
from bench.journal.store import Journal
from bench.making.braid import Braid, unfinished
from bench.making.loading import next_set
from bench.making.worked_pattern import WorkedPattern

FIRST_STAGES: tuple[Stage, ...] = ("load", "set_up")
"""What a piece can begin with before it is braided."""


def in_hand(journal: Journal | None, refs: LotRefs, lot: LotRef) -> PieceState | None:
    """The piece of a lot in the making that was touched last."""
    pieces = [] if journal is None else unfinished(journal)
    return next((state for state in pieces if refs.of(state) == lot), None)


def number_of_next(
    journal: Journal | None,
    finished: Iterable[PieceTimes],
    refs: LotRefs,
    lot: LotRef,
) -> int:
    """The number of the piece that is begun next for a lot; a trial is none of a lot's."""
    making = [] if journal is None else unfinished(journal)
    pieces: list[PieceTimes | PieceState] = [*finished, *making]
    return next_number(refs.numbers((one for one in pieces if not one.trial), lot))


def start_of_lot(
    journal: Journal,
    made: WorkedPattern,
    commission: str,
    order: str,
    lot: Lot,
    number: int,
    stage: Stage,
) -> Braid:
    """Start a piece of a lot at a stage, with its number.

    `commission`: what its order is called; `order`: the order's id.
    """
    return Braid.start(
        journal,
        made,
        stage=stage,
        commission=commission,
        lot=lot.name,
        number=number,
        commission_id=order,
        lot_id=lot.id,
    )


def next_of_batch(braid: Braid, finished: Iterable[PieceTimes]) -> Braid:
    """Lay a loaded set aside and start the next one of its batch, with its own number."""
    state, number = braid.state, None
    refs = LotRefs(braid.journal, {})
    lot = refs.of(state)
    if lot is not None and state.number is not None:
        number = number_of_next(braid.journal, finished, refs, lot)
    following = next_set(braid, number)
    braid.lay_aside()
    return following


def begun_last_with(journal: Journal | None) -> Stage:
    """The stage that the piece begun last, samples apart, began with: at first braiding."""
    last = None if journal is None else journal.begun_last()
    stages = set() if last is None else {*last.stages_done, last.stage}
    return next((stage for stage in FIRST_STAGES if stage in stages), "braid")


def is_first(journal: Journal, made: WorkedPattern) -> bool:
    """Whether no piece of a pattern as it is now, in its size and colourway, was begun yet.

    Trials, and pieces that were given up or spoilt, count as none.
    """
    mark = fingerprint(canonical(made.pattern), canonical(made.structure))
    return not any(
        state.hash == mark
        and not state.trial
        and state.status != GIVEN_UP
        and state.inspected != "spoilt"
        for state in journal.pieces(open_only=False)
    )
