"""What each kind of event holds: one frozen model a kind, with the version in which it is written.

Whole numbers count from 0 unless it says otherwise. `from_` is the key `from` in JSON. Models of
parts of a payload stand before the kind that has them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal, TypeAlias

from bench.craft.mark import Mark
from bench.craft.stages import Stage
from bench.journal.typed_json import Range

JSON: TypeAlias = "bool | int | float | str | list[JSON] | dict[str, JSON] | None"

Whole = Annotated[int, Range(0, 2**53 - 1)]
Positive = Annotated[int, Range(1, 2**53 - 1)]
Measure = Annotated[float, Range(0, 2**53)]
"""What a rule, a scale or a clock can have shown: a number that no later square overflows."""
LAST_WALL = 253_370_764_799.0
"""The end of the year 9998, UTC: every zone still has a date for it."""
Wall = Annotated[float, Range(0, LAST_WALL)]
"""UTC seconds since 1970."""
Signed = Annotated[int, Range(-(2**53), 2**53)]
Quality = Literal["good", "second"]
PointAt = Literal["high", "low", "level"]
LookKind = Literal["glance", "next", "next3", "left", "braid", "read"]

MOST_AT_ONCE = 20_000
"""One press counts a row or a plain stretch, never more crosses than this."""


class Payload:
    """What an event of one kind holds; `KIND` is its name, `VERSION` that of its form."""

    __slots__ = ()
    KIND: ClassVar[str]
    VERSION: ClassVar[int] = 1


@dataclass(frozen=True, slots=True)
class NotUnderstood(Payload):
    """What this program cannot read: `values` as they came, kept and carried unchanged.

    `why` says what does not fit the kind, after the event's name; "" for a kind or a version of a
    newer program.
    """

    KIND: ClassVar[str] = ""
    values: Mapping[str, JSON]
    why: str = ""


@dataclass(frozen=True, slots=True)
class PieceStarted(Payload):
    """A piece was begun, with the plan that it keeps.

    `pattern`, `structure`: resolved, as canonical JSON; `hash`: their SHA-256 in hexadecimal.
    `pattern_name`: the name of the pattern in the library; `title`: its title. `size`,
    `colourway`: None as the pattern is written. `commission`: a commission's name, None without.
    `marks`: what is to be done on the way. `number`: the piece's number in its lot, from 1, never
    given to another piece, but for that of one given up before anything was done; `lot_size`: the
    pieces that the lot had then. Both None outside a lot; `lot_size` None too beyond that number.
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
    """The count was set from `from_` crosses made to `to`; the braid was not touched."""

    KIND: ClassVar[str] = "place_set"
    from_: Whole
    to: Whole


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
class LoadChanged(Payload):
    """What remained on a `strand` (from 1) once `cross` crosses were made, in order of release."""

    KIND: ClassVar[str] = "load_changed"
    strand: Positive
    cross: Whole
    remaining: str


@dataclass(frozen=True, slots=True)
class SewIn(Payload):
    """A `bead` is to be sewn in later, where a `strand` (from 1) made a `cross`."""

    KIND: ClassVar[str] = "sew_in"
    strand: Positive
    cross: Whole
    bead: str


@dataclass(frozen=True, slots=True)
class SewInDone(Payload):
    """The bead to be sewn in there is sewn in."""

    KIND: ClassVar[str] = "sew_in_done"
    strand: Positive
    cross: Whole


@dataclass(frozen=True, slots=True)
class SlipReported(Payload):
    """Something was not as the screen said, before `cross` was made.

    `strand` and `place` from 1. `look` "next": `saw` is the bead seen there, None for nothing
    left; "braid": what the braid shows there.
    """

    KIND: ClassVar[str] = "slip_reported"
    cross: Whole
    strand: Positive
    place: Positive
    look: Literal["next", "braid"]
    saw: str | None


@dataclass(frozen=True, slots=True)
class LookAnswered(Payload):
    """A look was answered before `cross` was made, or set aside (`seconds` None).

    `strand` and `place` from 1; `bead`: what a glance asks after. `asked_s`: the seconds that the
    look was thought to take, `seconds` those until the answer came.
    """

    KIND: ClassVar[str] = "look_answered"
    cross: Whole
    look: LookKind
    strand: Positive
    place: Positive
    asked_s: Measure
    bead: str | None = None
    answer: Whole | str | None = None
    seconds: Measure | None = None


@dataclass(frozen=True, slots=True)
class LookUndone(Payload):
    """The last answer to a look was taken back."""

    KIND: ClassVar[str] = "look_undone"
    look: LookKind


@dataclass(frozen=True, slots=True)
class Spot:
    """A spot in the braid, with what is seen or to be done there."""

    strand: Positive
    cross: Whole
    what: str


@dataclass(frozen=True, slots=True)
class Restore:
    """What hangs on a strand once crosses are taken back to `cross`.

    Until then it lies in the place of the strand `in_place_of`.
    """

    strand: Positive
    cross: Whole
    remaining: str
    in_place_of: Positive


@dataclass(frozen=True, slots=True)
class SlipFound:
    """A slip that a mend is for, as the inquiry describes suspects; None where it has no such."""

    slip: str
    strand: Positive | None = None
    with_: Positive | None = None
    bead: str | None = None
    actual: str | None = None
    first: Positive | None = None
    last: Positive | None = None
    shift: Signed | None = None
    at: Whole | None = None
    index: Whole = 0


@dataclass(frozen=True, slots=True)
class HandsWork:
    """What a mend asked of the hands at once: `work`, its usual seconds, and what it took."""

    work: str
    usual_s: Measure
    took_s: Measure


@dataclass(frozen=True, slots=True)
class MendChosen(Payload):
    """What is done about a slip.

    `do`, `caution`, `shows`: as it was told. `seconds`: what it was thought to take. `chance`: how
    sure the `slips` were. `cross`, `back`: crosses made, and whether they were being taken back, as
    it was chosen. `back_to`: crosses made once all that come out are out; None if none do. `seen`:
    where the braid is not as planned. `later`: what is still asked of the hands before a cross.
    `restores`: the loads as they hang once the slip itself is taken back. `hands`: how long it took
    by hand, where it was work of one kind.
    """

    KIND: ClassVar[str] = "mend_chosen"
    do: str
    caution: str
    shows: str
    seconds: Measure
    slips: tuple[SlipFound, ...]
    chance: Annotated[float, Range(0, 1)]
    cross: Whole
    back: bool
    back_to: Whole | None = None
    seen: tuple[Spot, ...] = ()
    later: tuple[Spot, ...] = ()
    restores: tuple[Restore, ...] = ()
    hands: HandsWork | None = None


@dataclass(frozen=True, slots=True)
class MendUndone(Payload):
    """The last mend was not done: count and loads are as before it."""

    KIND: ClassVar[str] = "mend_undone"


@dataclass(frozen=True, slots=True)
class Loaded(Payload):
    """So many `beads` are on a `strand` (from 1) now."""

    KIND: ClassVar[str] = "loaded"
    strand: Positive
    beads: Whole


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
    None where nothing is known. `title`: the maker's own for the piece.
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


KINDS: Mapping[str, type[Payload]] = {
    model.KIND: model
    for model in (
        PieceStarted, StageStarted, StageEnded, Crossed, TakenBack, PlaceSet, MarkDone, SetUpDone,
        Paused, Resumed, Note, LoadChanged, SewIn, SewInDone, SlipReported, LookAnswered,
        LookUndone, MendChosen, MendUndone, Loaded, Proved, SetTagged, TagUndone, Measured,
        SignOffUndone, BeadWeighed, PointSeen, Finished, GivenUp, Reopened, TriedOut,
        BreakCorrected, Recorded,
    )
}  # fmt: skip
"""Every kind that this version writes."""
