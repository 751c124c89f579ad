"""The one fold of a piece's events: each adds to how it stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import fields, replace
from typing import Any, TypeAlias

from bench.craft.stages import STAGES
from bench.journal import payloads as p
from bench.journal import slip_payloads as slip
from bench.journal.events import Event
from bench.journal.inspection_payloads import (
    BackInStock,
    Delivered,
    Inspected,
    InspectionUndone,
    LeftStock,
    Packed,
    PutIntoLot,
    Returned,
)
from bench.journal.inspection_steps import delivered, inspected, inspection_undone, reopened
from bench.journal.order import after_of
from bench.journal.payload_base import NotUnderstood, Payload
from bench.journal.piece_state import (
    GIVEN_UP,
    BeforeMend,
    Mending,
    PieceState,
)
from bench.journal.presses import Presses, pressed
from bench.journal.stock_steps import back_in_stock, left_stock, put_into_lot

FoldStep: TypeAlias = Callable[[PieceState, Any], PieceState]


def _piece_started(state: PieceState, said: p.PieceStarted) -> PieceState:
    return replace(
        state,
        pattern_title=said.title,
        pattern_name=said.pattern_name,
        size=said.size,
        colourway=said.colourway,
        hash=said.hash,
        commission=said.commission,
        commission_id=said.commission_id,
        lot_id=said.lot_id,
        number=said.number,
        as_sample=said.as_sample,
    )


def _stage_started(state: PieceState, said: p.StageStarted) -> PieceState:
    """Those that come after it are to be done again."""
    at = STAGES.index(said.stage)
    before = tuple(s for s in state.stages_done if STAGES.index(s) < at)
    return replace(state, stage=said.stage, stages_done=before)


def _stage_ended(state: PieceState, said: p.StageEnded) -> PieceState:
    stage = said.stage
    return replace(
        state,
        stage=None if state.stage == stage else state.stage,
        stages_done=(*(s for s in state.stages_done if s != stage), stage),
    )


def _crossed(state: PieceState, said: p.Crossed) -> PieceState:
    made, mending = said.to, state.mending
    if mending is not None and (state.made <= mending.to or made > mending.chosen_at):
        mending = None
    return replace(
        state,
        made=made,
        back=False,
        mending=mending,
        mended=None,
        later=tuple(later for later in state.later if later.cross > made),
        out=(),
        undone=(),
    )


def _taken_back(state: PieceState, said: p.TakenBack) -> PieceState:
    made = said.to
    return replace(
        state,
        made=made,
        back=True,
        load_changes=(*state.load_changes, *_restored(state.restores, made)),
        restores=tuple(restore for restore in state.restores if restore.cross < made),
        mended=None,
        marks_done=tuple(mark for mark in state.marks_done if mark.cross <= made),
        undone=(*state.undone, *(mark for mark in state.marks_done if mark.cross > made)),
        seen=tuple(spot for spot in state.seen if spot.cross <= made),
        out=(*state.out, *(spot for spot in state.seen if spot.cross > made)),
    )


def _restored(restores: Iterable[slip.Restore], made: int) -> Iterable[slip.LoadChanged]:
    """What hangs again on the strands whose slips are out, the last cross first."""
    for restore in sorted(restores, key=lambda restore: -restore.cross):
        if restore.cross >= made:
            yield slip.LoadChanged(restore.strand, restore.cross, restore.remaining)


def _place_set(state: PieceState, said: p.PlaceSet) -> PieceState:
    return replace(
        state,
        made=said.to,
        back=False,
        mending=state.mending if said.to == said.from_ else None,
        mended=None,
        out=(),
        undone=(),
        elsewhere=tuple(branch for branch in state.elsewhere if branch[0] not in said.joins),
    )


def _mark_done(state: PieceState, said: p.MarkDone) -> PieceState:
    if said in state.marks_done:
        return state
    ever = dict.fromkeys((*state.marks_ever_done, said.mark))
    return replace(state, marks_done=(*state.marks_done, said), marks_ever_done=tuple(ever))


def _sew_in_done(state: PieceState, said: slip.SewInDone) -> PieceState:
    def there(spot: slip.SewIn | slip.Spot) -> bool:
        return (spot.strand, spot.cross) == (said.strand, said.cross)

    return replace(
        state,
        mended=None,
        sew_ins=tuple(s for s in state.sew_ins if not there(s)),
        sewn=(*state.sewn, *filter(there, state.sew_ins)),
        seen=tuple(s for s in state.seen if not there(s) or s.what != "gap"),
    )


def _mend_chosen(state: PieceState, said: slip.MendChosen) -> PieceState:
    mending = state.mending
    if said.back_to is not None:
        mending = Mending(said.back_to, said.do, said.caution, state.made)
    restores = {(r.strand, r.cross): r for r in (*state.restores, *said.restores)}
    before = BeforeMend(
        said.cross,
        said.back,
        len(state.load_changes),
        len(state.sew_ins),
        len(state.seen),
        state.restores,
        state.mending,
        state.later,
    )
    return replace(
        state,
        seen=(*state.seen, *said.seen),
        restores=tuple(restores.values()),
        mending=mending,
        mended=before,
        later=(*state.later, *said.later),
    )


def _mend_undone(state: PieceState, _: slip.MendUndone) -> PieceState:
    before = state.mended
    if before is None:
        return state
    return replace(
        state,
        made=before.made,
        back=before.back,
        load_changes=state.load_changes[: before.load_changes],
        sew_ins=state.sew_ins[: before.sew_ins],
        seen=state.seen[: before.seen],
        restores=before.restores,
        mending=before.mending,
        mended=None,
        later=before.later,
    )


def _loaded(state: PieceState, said: p.Loaded) -> PieceState:
    others = (there for there in state.loaded if there.strand != said.strand)
    loaded = sorted([*others, said], key=lambda there: there.strand)
    proved = tuple(strand for strand in state.proved if strand != said.strand)
    return replace(state, loaded=tuple(loaded), proved=proved)


def _proved(state: PieceState, said: p.Proved) -> PieceState:
    strands = set(state.proved) - {said.strand}
    if said.right:
        strands.add(said.strand)
    return replace(state, proved=tuple(sorted(strands)))


def _measured(state: PieceState, said: p.Measured) -> PieceState:
    """What was not measured this time stays as it was."""
    names = {field.name for field in fields(said)} - {"sample"}
    known = {name: getattr(said, name) for name in names if getattr(said, name) is not None}
    before = said if state.measured is None else state.measured
    return replace(state, measured=replace(before, **known))


def _recorded(state: PieceState, said: p.Recorded) -> PieceState:
    if state.hash:
        return state
    return replace(
        state,
        pattern_title=said.title or "",
        pattern_name=said.pattern,
        size=said.size,
        colourway=said.colourway,
        status=said.quality,
        made=said.crosses or 0,
    )


_STEPS: dict[type[Payload], FoldStep] = {
    p.PieceStarted: _piece_started,
    p.StageStarted: _stage_started,
    p.StageEnded: _stage_ended,
    p.Crossed: _crossed,
    p.TakenBack: _taken_back,
    p.PlaceSet: _place_set,
    p.MarkDone: _mark_done,
    p.SetUpDone: lambda state, said: replace(state, set_up_steps=said.steps),
    p.Paused: lambda state, _: replace(state, paused=True),
    p.Resumed: lambda state, _: replace(state, paused=False),
    slip.LoadChanged: lambda state, said: replace(state, load_changes=(*state.load_changes, said)),
    slip.SewIn: lambda state, said: replace(state, sew_ins=(*state.sew_ins, said)),
    slip.SewInDone: _sew_in_done,
    slip.MendChosen: _mend_chosen,
    slip.MendUndone: _mend_undone,
    p.Loaded: _loaded,
    p.Proved: _proved,
    p.SetTagged: lambda state, said: replace(state, batch=said),
    p.TagUndone: lambda state, _: replace(state, batch=None),
    p.Measured: _measured,
    p.SignOffUndone: lambda state, _: replace(state, signed_off=None),
    p.Finished: lambda state, said: replace(state, status=said.quality, reason=said.reason),
    p.GivenUp: lambda state, said: replace(state, status=GIVEN_UP, reason=said.reason),
    p.Reopened: reopened,
    p.TriedOut: lambda state, said: replace(state, trial=said.trial),
    p.Recorded: _recorded,
    Inspected: inspected,
    InspectionUndone: inspection_undone,
    Packed: lambda state, said: replace(state, tray=said.tray),
    Delivered: delivered,
    PutIntoLot: put_into_lot,
    LeftStock: left_stock,
    BackInStock: back_in_stock,
    Returned: lambda state, said: replace(state, delivered=None, returned=not said.mended),
}


def blank_state(piece: str, *, timed: bool = True) -> PieceState:
    """Return the state of a piece before its first event; `timed`: with its presses."""
    return PieceState(piece, presses=Presses() if timed else None)


def apply(state: PieceState, event: Event) -> PieceState:
    """Return the piece's state after one more event.

    What is not understood is counted, and changes nothing else. An event that does not follow the
    one before it goes on from another branch of the piece.
    """
    said = event.payload
    if state.last_event is not None and after_of(event, state.uuid) != state.last_event:
        branch = (state.last_event, state.made)
        state = replace(state, elsewhere=(*state.elsewhere, branch))
    step = _STEPS.get(type(said))
    now = state if step is None else step(state, said)
    if isinstance(said, p.StageStarted):
        now = replace(now, stage_began=event.instant)
    elif isinstance(said, p.Measured) and said.sample:
        now = replace(now, signed_off=event.instant)
    presses = state.presses
    if presses is not None:
        stage = state.stage if state.open else None
        presses = pressed(presses, event, stage, now.made, event.share(state.uuid))
    misfit = isinstance(said, NotUnderstood) and bool(said.why)
    is_out = isinstance(said, PutIntoLot | LeftStock) and now.commission is None
    return replace(
        now,
        lot=now.lot if event.lot is None or is_out else event.lot,
        last_wall=event.instant.wall,
        started_wall=event.instant.wall if state.started_wall is None else state.started_wall,
        last_event=event.uuid,
        events=state.events + 1,
        not_understood=state.not_understood + misfit,
        presses=presses,
    )


def replay(piece: str, events: Iterable[Event], *, timed: bool = True) -> PieceState:
    """Return the piece's state after these events, which are in their order."""
    state = blank_state(piece, timed=timed)
    for event in events:
        state = apply(state, event)
    return state
