"""What events of slips hold: what was seen, what looks answered, and what mends changed.

Whole numbers count from 0 unless it says otherwise. Parts of a payload stand before the kind that
has them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from bench.journal.payload_base import Measure, Payload, Positive, Signed, Whole
from bench.journal.typed_json import Range

LookKind = Literal["glance", "next", "next3", "left", "braid", "read", "piece"]


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


SLIP_KINDS: tuple[type[Payload], ...] = (
    LoadChanged, SewIn, SewInDone, SlipReported, LookAnswered, LookUndone, MendChosen, MendUndone,
)  # fmt: skip
"""Every kind of this file."""
