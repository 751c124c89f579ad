"""What each kind of event holds: one frozen model a kind, with the version in which it is written.

Whole numbers count from 0 unless it says otherwise. `from_` is the key `from` in JSON. The kinds
that slips leave stand in slip_payloads.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import ClassVar, Literal

from bench.craft.mark import Mark
from bench.craft.stages import Stage
from bench.journal.inspection_payloads import INSPECTION_KINDS
from bench.journal.payload_base import JSON, Measure, Payload, Positive, Wall, Whole
from bench.journal.slip_payloads import SLIP_KINDS

Quality = Literal["good", "second"]
PointAt = Literal["high", "low", "level"]

MOST_AT_ONCE = 20_000
"""One press counts a row or a plain stretch, never more crosses than this."""


@dataclass(frozen=True, slots=True)
class PieceStarted(Payload):
    """A piece was begun, with the plan that it keeps.

    `pattern`, `structure`: resolved, as canonical JSON; `hash`: their SHA-256 in hexadecimal.
    `pattern_name`: the name of the pattern in the library; `title`: its title. `size`,
    `colourway`: None as the pattern is written. `commission`: a commission's name, None without.
    `marks`: what is to be done on the way. `number`: the piece's number in its lot, from 1, never
    given to another piece, but for that of a trial, or of one given up undone, None outside a
    lot. `lot_size`: in older journals only, and read by nobody. `commission_id`, `lot_id`: the ids
    of the order and the lot; None in older journals, where their names have to do.
    `as_sample`: it was begun to be the sample of its pattern, size and colourway.
    """

    KIND: ClassVar[str] = "piece_started"
    title: str
    pattern_name: str
    size: str | None
    colourway: str | None
    pattern: dict[str, JSON]
    structure: dict[str, JSON]
    hash: str
    commission: str | None
    marks: tuple[Mark, ...] = ()
    number: Positive | None = None
    lot_size: Positive | None = None
    as_sample: bool = False
    commission_id: str | None = None
    lot_id: str | None = None


@dataclass(frozen=True, slots=True)
class StageStarted(Payload):
    """A stage was begun."""

    KIND: ClassVar[str] = "stage_started"
    stage: Stage


@dataclass(frozen=True, slots=True)
class StageEnded(Payload):
    """A stage was ended."""

    KIND: ClassVar[str] = "stage_ended"
    stage: Stage


@dataclass(frozen=True, slots=True)
class Crossed(Payload):
    """Crosses were made: `from_` before, `to` after, at most MOST_AT_ONCE more."""

    KIND: ClassVar[str] = "crossed"
    from_: Whole
    to: Whole

    def __post_init__(self) -> None:
        """Refuse a count that does not rise, or too far."""
        _steps(self.from_, self.to, self.to - self.from_)


@dataclass(frozen=True, slots=True)
class TakenBack(Payload):
    """Crosses were taken back: `from_` made before, `to` after, at most MOST_AT_ONCE fewer."""

    KIND: ClassVar[str] = "taken_back"
    from_: Whole
    to: Whole

    def __post_init__(self) -> None:
        """Refuse a count that does not fall, or too far."""
        _steps(self.from_, self.to, self.from_ - self.to)


@dataclass(frozen=True, slots=True)
class PlaceSet(Payload):
    """The count was set from `from_` crosses made to `to`; the braid was not touched.

    `joins`: the last events of the branches of a piece that went on elsewhere too, where the maker
    knew of them: the place is set for these as well.
    """

    KIND: ClassVar[str] = "place_set"
    from_: Whole
    to: Whole
    joins: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MarkDone(Payload):
    """The mark with the id `mark`, due after `cross`, was done."""

    KIND: ClassVar[str] = "mark_done"
    cross: Whole
    mark: str


@dataclass(frozen=True, slots=True)
class SetUpDone(Payload):
    """So many `steps` of setting up are done; the last such event counts."""

    KIND: ClassVar[str] = "set_up_done"
    steps: Whole


@dataclass(frozen=True, slots=True)
class HungFrom:
    """The counterweight that is to hang from after a `cross` on, in all, with the bag."""

    cross: Positive
    counterweight_g: Measure


@dataclass(frozen=True, slots=True)
class WeightsHung(Payload):
    """What was hung as the piece was set up; the last such event counts.

    `tama_g`: by strand. `counterweight_g`: in all, with the bag; None where it was not worked out.
    `weights_g`: the maker's own weights in it. `later`: how it is to be changed on the way.
    """

    KIND: ClassVar[str] = "hung"
    tama_g: tuple[Measure, ...]
    counterweight_g: Measure | None = None
    weights_g: tuple[Measure, ...] = ()
    later: tuple[HungFrom, ...] = ()


@dataclass(frozen=True, slots=True)
class Paused(Payload):
    """The maker paused."""

    KIND: ClassVar[str] = "paused"


@dataclass(frozen=True, slots=True)
class Resumed(Payload):
    """The maker went on after a pause."""

    KIND: ClassVar[str] = "resumed"


@dataclass(frozen=True, slots=True)
class Note(Payload):
    """A note of the maker's."""

    KIND: ClassVar[str] = "note"
    text: str


@dataclass(frozen=True, slots=True)
class Loaded(Payload):
    """So many `beads` are on a `strand` (from 1) now.

    `tube`: that those came from which were put on. `lost`: beads thrown out or broken with them;
    of beads that came off, those that do not go back.
    """

    KIND: ClassVar[str] = "loaded"
    strand: Positive
    beads: Whole
    tube: str | None = None
    lost: Whole = 0


@dataclass(frozen=True, slots=True)
class Proved(Payload):
    """A `strand`'s load was looked at, in the way that `how` names, and was right or not."""

    KIND: ClassVar[str] = "proved"
    strand: Positive
    how: str
    right: bool


@dataclass(frozen=True, slots=True)
class SetTagged(Payload):
    """A loaded set bears a tag: its `number` on this bench, its `place` in a batch of `sets`."""

    KIND: ClassVar[str] = "set_tagged"
    number: Positive
    place: Positive = 1
    sets: Positive = 1

    @property
    def label(self) -> str:
        """What is told of the set: "set 3, 1 of 2"."""
        return f"set {self.number}" + (f", {self.place} of {self.sets}" if self.sets > 1 else "")


@dataclass(frozen=True, slots=True)
class TagUndone(Payload):
    """The set's tag was taken back: it bears none."""

    KIND: ClassVar[str] = "tag_undone"


@dataclass(frozen=True, slots=True)
class Measured(Payload):
    """The finished piece was measured, and signed off as the `sample` or not.

    None where nothing was measured. `thread_left_mm`: beyond the braid, on one strand;
    `thread_cut_mm`: that strand as it was cut.
    """

    KIND: ClassVar[str] = "measured"
    sample: bool
    length_mm: Measure | None = None
    thickness_mm: Measure | None = None
    thread_left_mm: Measure | None = None
    thread_cut_mm: Measure | None = None
    weight_g: Measure | None = None


@dataclass(frozen=True, slots=True)
class SignOffUndone(Payload):
    """The piece's sign-off as the sample was taken back; what it measures stays."""

    KIND: ClassVar[str] = "sign_off_undone"


@dataclass(frozen=True, slots=True)
class BeadWeighed(Payload):
    """So many `beads` of a kind were weighed together; `undone`: such a weighing is taken back."""

    KIND: ClassVar[str] = "bead_weighed"
    size: str
    shape: str
    name: str
    beads: Positive
    grams: Measure
    resolution_g: Measure
    undone: bool = False


@dataclass(frozen=True, slots=True)
class PointSeen(Payload):
    """How the point of braiding lies."""

    KIND: ClassVar[str] = "point_seen"
    at: PointAt


@dataclass(frozen=True, slots=True)
class Finished(Payload):
    """The piece is finished, good or as a second."""

    KIND: ClassVar[str] = "finished"
    quality: Quality
    reason: str | None = None


@dataclass(frozen=True, slots=True)
class GivenUp(Payload):
    """The piece was given up; before anything else came after its start, it counts for nothing."""

    KIND: ClassVar[str] = "given_up"
    reason: str


@dataclass(frozen=True, slots=True)
class Reopened(Payload):
    """A finished or given-up piece was taken in hand again."""

    KIND: ClassVar[str] = "reopened"


@dataclass(frozen=True, slots=True)
class TriedOut(Payload):
    """The piece was only tried out, keys pressed through, and counts for nothing; or it was not.

    `trial`: the last word counts. Beads that were loaded stay drawn.
    """

    KIND: ClassVar[str] = "tried_out"
    trial: bool


@dataclass(frozen=True, slots=True)
class BreakCorrected(Payload):
    """The gap before the event with the id `event` is a break, or is none."""

    KIND: ClassVar[str] = "break_corrected"
    event: str
    is_break: bool


@dataclass(frozen=True, slots=True)
class Recorded(Payload):
    """A piece, or one `stage` of it (None: the whole), was timed without the program.

    `pattern`, `size`, `colourway`: as the maker names them. `finished_at`: UTC seconds since 1970.
    None where nothing is known, but `hands_on_s` is 0 then. `title`: the maker's own for the piece.
    """

    KIND: ClassVar[str] = "recorded"
    pattern: str
    size: str | None
    colourway: str | None
    stage: Stage | None
    hands_on_s: Measure
    waiting_s: Measure | None
    crosses: Positive | None
    rework_s: Measure | None
    finished_at: Wall | None
    quality: Quality
    title: str | None = None


def _steps(start: int, end: int, steps: int) -> None:
    if not 0 < steps <= MOST_AT_ONCE:
        raise ValueError(f"cannot go from {start} to {end}")


_OTHER_KINDS: tuple[type[Payload], ...] = (
    PieceStarted, StageStarted, StageEnded, Crossed, TakenBack, PlaceSet, MarkDone, SetUpDone,
    WeightsHung, Paused, Resumed, Note, Loaded, Proved, SetTagged, TagUndone, Measured,
    SignOffUndone,
    BeadWeighed, PointSeen, Finished, GivenUp, Reopened, TriedOut, BreakCorrected, Recorded,
)  # fmt: skip

_OF_PIECES = {model.KIND: model for model in (*_OTHER_KINDS, *SLIP_KINDS, *INSPECTION_KINDS)}


def model_of(kind: str) -> type[Payload] | None:
    """Return the model of a kind of event; None for one that this version does not write."""
    return _OF_PIECES.get(kind) or kinds().get(kind)


@cache
def kinds() -> Mapping[str, type[Payload]]:
    """Return every kind that this version writes, with its model.

    Most commands meet none that is not about pieces, and need not load those.
    """
    from bench.journal.commission_payloads import COMMISSION_KINDS
    from bench.journal.tube_payloads import TUBE_KINDS

    return _OF_PIECES | {model.KIND: model for model in (*COMMISSION_KINDS, *TUBE_KINDS)}
