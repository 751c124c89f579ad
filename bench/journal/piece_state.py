"""How a piece stands: what its events add up to (see state)."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from typing import Literal

from bench.craft.stages import Stage
from bench.journal.clock import Instant
from bench.journal.events import canonical
from bench.journal.inspection_payloads import Leave, Verdict
from bench.journal.payloads import Loaded, MarkDone, Measured, SetTagged
from bench.journal.presses import Presses
from bench.journal.slip_payloads import LoadChanged, Restore, SewIn, Spot
from bench.journal.typed_json import as_json, read
from bench.pace.records import Variant

STATE_VERSION = 23
"""Raised with every change to `PieceState` or its fold: older checkpoints are then replayed."""

Status = Literal["in the making", "good", "second", "given up"]
IN_THE_MAKING: Status = "in the making"
GIVEN_UP: Status = "given up"

UNNAMED = "Unnamed piece"
"""What a piece is called whose beginning was lost, or is not understood."""


@dataclass(frozen=True, slots=True)
class Mending:
    """A chosen mend that takes crosses back.

    `to`: crosses made once all are out; `do`: what to do then, with its `caution`; `chosen_at`:
    crosses made as it was chosen.
    """

    to: int
    do: str
    caution: str
    chosen_at: int


@dataclass(frozen=True, slots=True)
class BeforeInspection:
    """How a piece stood before an inspection; `signed_off`: as the sample."""

    status: Status
    reason: str | None
    inspected: Verdict | None
    failed: tuple[str, ...]
    signed_off: Instant | None


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
class LotLeft:
    """A lot that a piece was in, as the piece said it, and the number that it had there."""

    commission: str
    commission_id: str | None
    lot: str | None
    lot_id: str | None
    number: int | None


@dataclass(frozen=True, slots=True)
class TimeAway:
    """How a piece left the stock, on which day, and what that brings; `back`: when it came back."""

    how: Leave
    day: str
    price: str | None
    currency: str
    back: str | None = None


@dataclass(frozen=True, slots=True)
class PieceState:
    """A piece after its events so far.

    `lot`, `commission`: what they were called when that was said last. `commission_id`, `lot_id`:
    what they are known by; None in older journals. `number`: its number in its lot; None outside
    one. `as_sample`: it was begun to be the sample.
    `batch`: the tag of its loaded set. `reason`: why it is a second or was given up, where that was
    said. `signed_off`: when it was signed off as the sample. `made`: crosses made, as counted now.
    `back`: crosses are being taken back, until the next one forward. `set_up_steps`: steps of
    setting up that are done. `stage_began`: the stage begun last. `marks_ever_done`: ids, those
    taken back since, too. `measured`: the last of each figure. `load_changes`: of each what
    remained then. `sew_ins`: beads still to be sewn in, `sewn`: those that are. `seen`: where the
    braid is not as planned. `mending`: the mend that crosses are taken back for. `restores`: what
    hangs on strands once a slip itself is taken back. `mended`: how it stood before the last mend,
    until the next cross. `later`: what a mend still asks of the hands before a cross. `out`: those
    of `seen` that lay in the crosses taken back since the last one forward, `undone`: those of
    `marks_done`. `loaded`: beads on each strand's thread. Walls are UTC seconds. `not_understood`:
    events that do not hold what their kind must. `elsewhere`: (last event, crosses made) of each
    branch of a piece that went on at two benches, until the place is set. `inspected`: what the
    last inspection found, `failed`: the looks it failed, `before_inspections`: how it stood before
    each. `tray`: where it is packed. `delivered`: the day on which it was handed over,
    `handed_over`: first, kept while it is repaired. `returned`: it came back, and is not mended
    yet. `lots_left`: the lots that it was in. `aways`: each time that it left the stock.
    `presses`: its times; None in a state from a checkpoint.
    """

    uuid: str
    pattern_title: str = ""
    pattern_name: str = ""
    size: str | None = None
    colourway: str | None = None
    hash: str = ""
    lot: str | None = None
    commission: str | None = None
    commission_id: str | None = None
    lot_id: str | None = None
    number: int | None = None
    as_sample: bool = False
    batch: SetTagged | None = None
    status: Status = IN_THE_MAKING
    reason: str | None = None
    signed_off: Instant | None = None
    trial: bool = False
    stage: Stage | None = None
    stage_began: Instant | None = None
    stages_done: tuple[Stage, ...] = ()
    made: int = 0
    back: bool = False
    paused: bool = False
    set_up_steps: int = 0
    marks_done: tuple[MarkDone, ...] = ()
    marks_ever_done: tuple[str, ...] = ()
    load_changes: tuple[LoadChanged, ...] = ()
    sew_ins: tuple[SewIn, ...] = ()
    sewn: tuple[SewIn, ...] = ()
    seen: tuple[Spot, ...] = ()
    mending: Mending | None = None
    restores: tuple[Restore, ...] = ()
    mended: BeforeMend | None = None
    later: tuple[Spot, ...] = ()
    out: tuple[Spot, ...] = ()
    undone: tuple[MarkDone, ...] = ()
    loaded: tuple[Loaded, ...] = ()
    proved: tuple[int, ...] = ()
    measured: Measured | None = None
    last_wall: float = 0.0
    started_wall: float | None = None
    last_event: str | None = None
    events: int = 0
    not_understood: int = 0
    elsewhere: tuple[tuple[str, int], ...] = ()
    inspected: Verdict | None = None
    failed: tuple[str, ...] = ()
    before_inspections: tuple[BeforeInspection, ...] = ()
    tray: str = ""
    delivered: str | None = None
    handed_over: str | None = None
    returned: bool = False
    lots_left: tuple[LotLeft, ...] = ()
    aways: tuple[TimeAway, ...] = ()
    presses: Presses | None = field(default=None, compare=False, repr=False)

    @property
    def title(self) -> str:
        """What the piece is called: its lot and its number there, else its pattern's title."""
        title = self.lot or self._pattern
        return title if self.number is None else f"{title} {self.number}"

    @property
    def _pattern(self) -> str:
        """What its pattern is called."""
        return self.pattern_title or self.pattern_name or UNNAMED

    @property
    def kind_words(self) -> tuple[str, ...]:
        """What the title does not say of what it is: pattern, size and colourway."""
        pattern = self._pattern if self.lot else None
        return tuple(filter(None, (pattern, self.size, self.colourway)))

    @property
    def kind(self) -> Variant:
        """What it is: its pattern, size and colourway."""
        return Variant(self.pattern_name, self.size, self.colourway)

    @property
    def tag(self) -> str | None:
        """What the tag of its loaded set says: "set 3, 1 of 2"."""
        return None if self.batch is None else self.batch.label

    @property
    def name(self) -> str:
        """What the piece is called in full: with its pattern, size, colourway and set."""
        return ", ".join(filter(None, (self.title, *self.kind_words, self.tag)))

    @property
    def sample(self) -> bool:
        """Whether it is signed off as the sample."""
        return self.signed_off is not None

    @property
    def to_be_sample(self) -> bool:
        """Whether it was begun to be the sample and can still become it."""
        return self.as_sample and not self.trial and not self.sample and self.open

    @property
    def away(self) -> TimeAway | None:
        """How it left the stock that it is not back in; None while it is in stock, or in a lot."""
        return next((away for away in reversed(self.aways) if away.back is None), None)

    @property
    def open(self) -> bool:
        """Whether the piece is still in the making."""
        return self.status == IN_THE_MAKING

    @property
    def blank(self) -> bool:
        """Whether it was begun and nothing was ever done to it, but for giving it up."""
        return bool(self.hash) and self.made == 0 and self.events <= 2 + (self.status == GIVEN_UP)

    @property
    def counts(self) -> bool:
        """Whether it takes a number in its lot: no trial, nor given up before anything was done."""
        return not self.trial and not (self.blank and self.status == GIVEN_UP)

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
