"""How a piece stands: what its events add up to."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from typing import Any, Literal, TypeAlias

from bench.craft.stages import STAGES, Stage
from bench.craft.words import full_name
from bench.journal import payloads as p
from bench.journal import slip_payloads as slip
from bench.journal.events import Event, canonical
from bench.journal.order import after_of
from bench.journal.payload_base import NotUnderstood, Payload
from bench.journal.presses import Presses, pressed
from bench.journal.typed_json import as_json, read

STATE_VERSION = 10
"""Raised with every change to `PieceState` or `apply`: older checkpoints are then replayed."""

Status = Literal["in the making", "good", "second", "given up"]
IN_THE_MAKING: Status = "in the making"
GIVEN_UP: Status = "given up"
Spot: TypeAlias = tuple[int, int, str]
"""A strand, a cross, and what is there."""
Restore: TypeAlias = tuple[int, int, str, int]
Mending: TypeAlias = tuple[int, str, str, int]


@dataclass(frozen=True, slots=True)
class BeforeMend:
    """How a piece stood before its last mend; of what only grows, how many there were."""

    made: int
    back: bool
    load_changes: int
    sew_ins: int
    seen: int
    restores: tuple[Restore, ...]
    mending: Mending | None
    later: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class PieceState:
    """A piece after its events so far.

    `number`, `lot_size`: its number in its lot, and of how many; None outside a lot. `batch`: the
    tag of its loaded set. `reason`: why it is a second or was given up, where that was said.
    `sample`: it is signed off as the sample. `made`: crosses made, as counted now. `back`: crosses
    are being taken back, until the next one forward. `set_up_steps`: steps of setting up that are
    done. `marks_done`: (cross, mark's id). `load_changes`: (strand, cross, what remained then).
    `sew_ins`: (strand, cross, bead) still to be sewn in, `sewn`: those that are. `seen`: (strand,
    cross, what) where the braid is not as planned. `mending`: the chosen mend that takes crosses
    back: (crosses made when all are out, what to do then, caution, crosses made as it was chosen).
    `restores`: (strand, crosses made, what remains, in which strand's place it lies till then) as a
    slip itself is taken back. `mended`: how it stood before the last mend, until the next cross.
    `later`: (strand, cross, what a mend still asks of the hands before that cross). `out`: those
    of `seen` that lay in the crosses taken back since the last one forward, `undone`: those of
    `marks_done`. `loaded`: (strand, beads on the thread). Walls are UTC seconds. `not_understood`:
    events that do not hold what their kind must. `elsewhere`: (last event, crosses made) of each
    branch of a piece that went on at two benches, until the place is set. `presses`: its times;
    None in a state that comes from a checkpoint.
    """

    uuid: str
    pattern_title: str = ""
    pattern_name: str = ""
    size: str | None = None
    colourway: str | None = None
    hash: str = ""
    lot: str | None = None
    commission: str | None = None
    number: int | None = None
    lot_size: int | None = None
    batch: p.SetTagged | None = None
    status: Status = IN_THE_MAKING
    reason: str | None = None
    sample: bool = False
    trial: bool = False
    stage: Stage | None = None
    stages_done: tuple[Stage, ...] = ()
    made: int = 0
    back: bool = False
    paused: bool = False
    set_up_steps: int = 0
    marks_done: tuple[tuple[int, str], ...] = ()
    load_changes: tuple[Spot, ...] = ()
    sew_ins: tuple[Spot, ...] = ()
    sewn: tuple[Spot, ...] = ()
    seen: tuple[Spot, ...] = ()
    mending: Mending | None = None
    restores: tuple[Restore, ...] = ()
    mended: BeforeMend | None = None
    later: tuple[Spot, ...] = ()
    out: tuple[Spot, ...] = ()
    undone: tuple[tuple[int, str], ...] = ()
    loaded: tuple[tuple[int, int], ...] = ()
    proved: tuple[int, ...] = ()
    last_kind: str = ""
    last_wall: float = 0.0
    started_wall: float | None = None
    last_event: str | None = None
    events: int = 0
    not_understood: int = 0
    elsewhere: tuple[tuple[str, int], ...] = ()
    presses: Presses | None = field(default=None, compare=False, repr=False)

    @property
    def title(self) -> str:
        """What the piece is called: its pattern's title, and its number in a lot."""
        if self.number is None:
            return self.pattern_title
        of = "" if self.lot_size is None else f" of {self.lot_size}"
        return f"{self.pattern_title} {self.number}{of}"

    @property
    def tag(self) -> str | None:
        """What the tag of its loaded set says: "set 3, 1 of 2"."""
        return None if self.batch is None else self.batch.label

    @property
    def name(self) -> str:
        """What the piece is called in full: with its size, colourway and set."""
        return full_name(self.title, self.size, self.colourway, self.tag)

    @property
    def open(self) -> bool:
        """Whether the piece is still in the making."""
        return self.status == IN_THE_MAKING

    @property
    def blank(self) -> bool:
        """Whether it was begun and nothing was ever done to it, but for giving it up."""
        return bool(self.hash) and self.made == 0 and self.events <= 2 + (self.status == GIVEN_UP)

    @property
    def mark(self) -> str:
        """Another after each event, and where one of them was lost."""
        return mark_of(self.last_event, self.events)

    def to_json(self) -> str:
        """Return the state as JSON, without its times and what is as at the start."""
        return canonical(as_json(replace(self, presses=None)))

    @classmethod
    def from_json(cls, text: str) -> PieceState:
        """Return the state that `to_json` wrote. Raises ValueError or TypeError."""
        return read(cls, json.loads(text))


def mark_of(last_event: str | None, events: int | None) -> str:
    """Return what marks a piece with so many events, the last of this id."""
    return f"{last_event} {events}"


Step: TypeAlias = Callable[[PieceState, Any], PieceState]


def _piece_started(state: PieceState, said: p.PieceStarted) -> PieceState:
    return replace(
        state,
        pattern_title=said.title,
        pattern_name=said.pattern_name,
        size=said.size,
        colourway=said.colourway,
        hash=said.hash,
        commission=said.commission,
        number=said.number,
        lot_size=said.lot_size,
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
    if mending is not None and (state.made <= mending[0] or made > mending[3]):
        mending = None
    return replace(
        state,
        made=made,
        back=False,
        mending=mending,
        mended=None,
        later=tuple(later for later in state.later if later[1] > made),
        out=(),
        undone=(),
    )


def _taken_back(state: PieceState, said: p.TakenBack) -> PieceState:
    made = said.to
    return replace(
        state,
        made=made,
        back=True,
        load_changes=(
            *state.load_changes,
            *(c[:3] for c in sorted(state.restores, key=lambda c: -c[1]) if c[1] >= made),
        ),
        restores=tuple(change for change in state.restores if change[1] < made),
        mended=None,
        marks_done=tuple(mark for mark in state.marks_done if mark[0] <= made),
        undone=(*state.undone, *(mark for mark in state.marks_done if mark[0] > made)),
        seen=tuple(spot for spot in state.seen if spot[1] <= made),
        out=(*state.out, *(spot for spot in state.seen if spot[1] > made)),
    )


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
    mark = (said.cross, said.mark)
    if mark in state.marks_done:
        return state
    return replace(state, marks_done=(*state.marks_done, mark))


def _load_changed(state: PieceState, said: slip.LoadChanged) -> PieceState:
    change = (said.strand, said.cross, said.remaining)
    return replace(state, load_changes=(*state.load_changes, change))


def _sew_in(state: PieceState, said: slip.SewIn) -> PieceState:
    return replace(state, sew_ins=(*state.sew_ins, (said.strand, said.cross, said.bead)))


def _sew_in_done(state: PieceState, said: slip.SewInDone) -> PieceState:
    spot = (said.strand, said.cross)
    return replace(
        state,
        mended=None,
        sew_ins=tuple(s for s in state.sew_ins if s[:2] != spot),
        sewn=(*state.sewn, *(s for s in state.sew_ins if s[:2] == spot)),
        seen=tuple(s for s in state.seen if s[:2] != spot or s[2] != "gap"),
    )


def _mend_chosen(state: PieceState, said: slip.MendChosen) -> PieceState:
    mending = state.mending
    if said.back_to is not None:
        mending = (said.back_to, said.do, said.caution, state.made)
    restores = {restore[:2]: restore for restore in state.restores}
    for r in said.restores:
        restores[r.strand, r.cross] = (r.strand, r.cross, r.remaining, r.in_place_of)
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
        seen=(*state.seen, *_spots(said.seen)),
        restores=tuple(restores.values()),
        mending=mending,
        mended=before,
        later=(*state.later, *_spots(said.later)),
    )


def _spots(spots: Iterable[slip.Spot]) -> Iterable[Spot]:
    return ((spot.strand, spot.cross, spot.what) for spot in spots)


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
    counts = dict(state.loaded)
    counts[said.strand] = said.beads
    proved = tuple(strand for strand in state.proved if strand != said.strand)
    return replace(state, loaded=tuple(sorted(counts.items())), proved=proved)


def _proved(state: PieceState, said: p.Proved) -> PieceState:
    strands = set(state.proved) - {said.strand}
    if said.right:
        strands.add(said.strand)
    return replace(state, proved=tuple(sorted(strands)))


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


_STEPS: dict[type[Payload], Step] = {
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
    slip.LoadChanged: _load_changed,
    slip.SewIn: _sew_in,
    slip.SewInDone: _sew_in_done,
    slip.MendChosen: _mend_chosen,
    slip.MendUndone: _mend_undone,
    p.Loaded: _loaded,
    p.Proved: _proved,
    p.SetTagged: lambda state, said: replace(state, batch=said),
    p.TagUndone: lambda state, _: replace(state, batch=None),
    p.Measured: lambda state, said: replace(state, sample=state.sample or said.sample),
    p.SignOffUndone: lambda state, _: replace(state, sample=False),
    p.Finished: lambda state, said: replace(state, status=said.quality, reason=said.reason),
    p.GivenUp: lambda state, said: replace(state, status=GIVEN_UP, reason=said.reason),
    p.Reopened: lambda state, _: replace(state, status=IN_THE_MAKING, reason=None),
    p.TriedOut: lambda state, said: replace(state, trial=said.trial),
    p.Recorded: _recorded,
}


def blank_state(piece: str) -> PieceState:
    """Return the state of a piece before its first event."""
    return PieceState(piece, presses=Presses())


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
    presses = state.presses
    if presses is not None:
        stage = state.stage if state.open else None
        presses = pressed(presses, event, stage, now.made, event.share(state.uuid))
    misfit = isinstance(said, NotUnderstood) and bool(said.why)
    return replace(
        now,
        lot=state.lot if event.lot is None else event.lot,
        last_kind=event.kind,
        last_wall=event.instant.wall,
        started_wall=event.instant.wall if state.started_wall is None else state.started_wall,
        last_event=event.uuid,
        events=state.events + 1,
        not_understood=state.not_understood + misfit,
        presses=presses,
    )


def replay(piece: str, events: Iterable[Event]) -> PieceState:
    """Return the piece's state after these events, which are in their order."""
    state = blank_state(piece)
    for event in events:
        state = apply(state, event)
    return state
