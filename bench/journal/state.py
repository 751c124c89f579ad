"""How a piece stands: what its events add up to."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, replace
from typing import Any, TypeAlias

from bench.journal.events import Event, canonical

STATE_VERSION = 6
"""Raised with every change to `PieceState` or `apply`: older checkpoints are then replayed."""

IN_THE_MAKING = "in the making"
GIVEN_UP = "given up"


@dataclass(frozen=True, slots=True)
class PieceState:
    """A piece after its events so far.

    `made`: crosses made, as counted now. `back`: crosses are being taken back, until the next one
    forward. `marks_done`: (cross, mark). `load_changes`: (strand, cross, what remained then).
    `sew_ins`: (strand, cross, bead) still to be sewn in, `sewn`: those that are. `seen`: (strand,
    cross, what) where the braid is not as planned. `mending`: the chosen mend that takes crosses
    back: (crosses made when all are out, what to do then, caution, crosses made as it was chosen).
    `restores`: (strand, crosses made, what remains, in which strand's place it lies till then) as
    a slip itself is taken back. `mended`: how it stood before the last mend, until the next cross:
    (made, back, how many load changes, sew-ins and seen, then restores, mending and later as they
    were). `later`: (strand, cross, what a mend still asks of the hands before that cross). `out`:
    those of `seen` that lay in the crosses taken back since the last one forward, `undone`: those
    of `marks_done`. `loaded`: (strand, beads on the thread). `status`: "in the making", "good",
    "second" or "given up". Walls are UTC seconds.
    """

    uuid: str
    title: str = ""
    pattern_name: str = ""
    size: str | None = None
    colourway: str | None = None
    hash: str = ""
    lot: str | None = None
    commission: str | None = None
    status: str = IN_THE_MAKING
    stage: str | None = None
    stages_done: tuple[str, ...] = ()
    made: int = 0
    back: bool = False
    paused: bool = False
    marks_done: tuple[tuple[int, str], ...] = ()
    load_changes: tuple[tuple[int, int, str], ...] = ()
    sew_ins: tuple[tuple[int, int, str], ...] = ()
    sewn: tuple[tuple[int, int, str], ...] = ()
    seen: tuple[tuple[int, int, str], ...] = ()
    mending: tuple[int, str, str, int] | None = None
    restores: tuple[tuple[int, int, str, int], ...] = ()
    mended: tuple[Any, ...] | None = None
    later: tuple[tuple[int, int, str], ...] = ()
    out: tuple[tuple[int, int, str], ...] = ()
    undone: tuple[tuple[int, str], ...] = ()
    loaded: tuple[tuple[int, int], ...] = ()
    proved: tuple[int, ...] = ()
    tag: str | None = None
    last_kind: str = ""
    last_wall: float = 0.0
    started_wall: float | None = None
    last_event: str | None = None
    events: int = 0

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
        """Return the state as JSON, without what is as at the start."""
        return canonical(
            {
                field.name: value
                for field in fields(self)
                if (value := getattr(self, field.name)) != field.default
            }
        )

    @classmethod
    def from_json(cls, text: str) -> PieceState:
        """Return the state that `to_json` wrote. Raises ValueError, KeyError or TypeError."""
        said: dict[str, Any] = json.loads(text)
        values: dict[str, Any] = {
            key: _tuples(value) if isinstance(value, list) else value for key, value in said.items()
        }
        return cls(**values)


def mark_of(last_event: str | None, events: int | None) -> str:
    """Return what marks a piece with so many events, the last of this id."""
    return f"{last_event} {events}"


def _tuples(items: list[Any]) -> tuple[Any, ...]:
    return tuple([_tuples(item) if isinstance(item, list) else item for item in items])


Step: TypeAlias = Callable[[PieceState, dict[str, Any]], PieceState]


def _piece_started(state: PieceState, p: dict[str, Any]) -> PieceState:
    return replace(
        state,
        title=p["title"],
        pattern_name=p["pattern_name"],
        size=p["size"],
        colourway=p["colourway"],
        hash=p["hash"],
        commission=p["commission"],
    )


def _stage_started(state: PieceState, p: dict[str, Any]) -> PieceState:
    stage = p["stage"]
    return replace(
        state, stage=stage, stages_done=tuple(s for s in state.stages_done if s != stage)
    )


def _stage_ended(state: PieceState, p: dict[str, Any]) -> PieceState:
    stage = p["stage"]
    return replace(
        state,
        stage=None if state.stage == stage else state.stage,
        stages_done=(*(s for s in state.stages_done if s != stage), stage),
    )


def _crossed(state: PieceState, p: dict[str, Any]) -> PieceState:
    made, mending = p["to"], state.mending
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


def _taken_back(state: PieceState, p: dict[str, Any]) -> PieceState:
    made = p["to"]
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


def _place_set(state: PieceState, p: dict[str, Any]) -> PieceState:
    return replace(
        state,
        made=p["to"],
        back=False,
        mending=state.mending if p["to"] == p["from"] else None,
        mended=None,
        out=(),
        undone=(),
    )


def _mark_done(state: PieceState, p: dict[str, Any]) -> PieceState:
    mark = (p["cross"], p["mark"])
    if mark in state.marks_done:
        return state
    return replace(state, marks_done=(*state.marks_done, mark))


def _load_changed(state: PieceState, p: dict[str, Any]) -> PieceState:
    change = (p["strand"], p["cross"], p["remaining"])
    return replace(state, load_changes=(*state.load_changes, change))


def _sew_in(state: PieceState, p: dict[str, Any]) -> PieceState:
    return replace(state, sew_ins=(*state.sew_ins, (p["strand"], p["cross"], p["bead"])))


def _sew_in_done(state: PieceState, p: dict[str, Any]) -> PieceState:
    spot = (p["strand"], p["cross"])
    return replace(
        state,
        mended=None,
        sew_ins=tuple(s for s in state.sew_ins if s[:2] != spot),
        sewn=(*state.sewn, *(s for s in state.sew_ins if s[:2] == spot)),
        seen=tuple(s for s in state.seen if s[:2] != spot or s[2] != "gap"),
    )


def _mend_chosen(state: PieceState, p: dict[str, Any]) -> PieceState:
    back_to, mending = p.get("back_to"), state.mending
    if back_to is not None:
        mending = (back_to, p.get("do", ""), p.get("caution", ""), state.made)
    restores = {restore[:2]: restore for restore in state.restores}
    for r in p.get("restores", ()):
        at = r["strand"], r["cross"]
        restores[at] = (*at, r["remaining"], r["in_place_of"])
    parts = state.load_changes, state.sew_ins, state.seen
    return replace(
        state,
        seen=(*state.seen, *((s["strand"], s["cross"], s["what"]) for s in p.get("seen", ()))),
        restores=tuple(restores.values()),
        mending=mending,
        mended=(
            p.get("cross", state.made),
            p.get("back", state.back),
            *map(len, parts),
            state.restores,
            state.mending,
            state.later,
        ),
        later=(
            *state.later,
            *((e["strand"], e["cross"], e["what"]) for e in p.get("later", ())),
        ),
    )


def _mend_undone(state: PieceState, _: dict[str, Any]) -> PieceState:
    if state.mended is None:
        return state
    made, back, loads, sew_ins, seen, restores, mending, later = state.mended
    return replace(
        state,
        made=made,
        back=back,
        load_changes=state.load_changes[:loads],
        sew_ins=state.sew_ins[:sew_ins],
        seen=state.seen[:seen],
        restores=restores,
        mending=mending,
        mended=None,
        later=later,
    )


def _loaded(state: PieceState, p: dict[str, Any]) -> PieceState:
    counts = dict(state.loaded)
    counts[p["strand"]] = p["beads"]
    proved = tuple(strand for strand in state.proved if strand != p["strand"])
    return replace(state, loaded=tuple(sorted(counts.items())), proved=proved)


def _proved(state: PieceState, p: dict[str, Any]) -> PieceState:
    strands = set(state.proved) - {p["strand"]}
    if p["right"]:
        strands.add(p["strand"])
    return replace(state, proved=tuple(sorted(strands)))


def _recorded(state: PieceState, p: dict[str, Any]) -> PieceState:
    if state.hash:
        return state
    return replace(
        state,
        title=p.get("title") or "",
        pattern_name=p["pattern"],
        size=p["size"],
        colourway=p["colourway"],
        status=p["quality"],
        made=p["crosses"] or 0,
    )


_STEPS: dict[str, Step] = {
    "piece_started": _piece_started,
    "stage_started": _stage_started,
    "stage_ended": _stage_ended,
    "crossed": _crossed,
    "taken_back": _taken_back,
    "place_set": _place_set,
    "mark_done": _mark_done,
    "paused": lambda state, _: replace(state, paused=True),
    "resumed": lambda state, _: replace(state, paused=False),
    "load_changed": _load_changed,
    "sew_in": _sew_in,
    "sew_in_done": _sew_in_done,
    "mend_chosen": _mend_chosen,
    "mend_undone": _mend_undone,
    "loaded": _loaded,
    "proved": _proved,
    "set_tagged": lambda state, p: replace(state, tag=p["tag"]),
    "finished": lambda state, p: replace(state, status=p["quality"]),
    "given_up": lambda state, _: replace(state, status=GIVEN_UP),
    "reopened": lambda state, _: replace(state, status=IN_THE_MAKING),
    "recorded": _recorded,
}


def apply(state: PieceState, event: Event) -> PieceState:
    """Return the piece's state after one more event.

    Kinds and versions from a newer program are counted, and change nothing else.
    """
    step = _STEPS.get(event.kind)
    if step is not None and event.understood:
        state = step(state, event.payload)
    return replace(
        state,
        lot=state.lot if event.lot is None else event.lot,
        last_kind=event.kind,
        last_wall=event.moment.wall,
        started_wall=event.moment.wall if state.started_wall is None else state.started_wall,
        last_event=event.uuid,
        events=state.events + 1,
    )


def replay(piece: str, events: Iterable[Event]) -> PieceState:
    """Return the piece's state after these events, which are in their order."""
    state = PieceState(piece)
    for event in events:
        state = apply(state, event)
    return state
