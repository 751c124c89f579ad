"""What events about a tube of beads, a spool of thread, or what else is kept in stock hold.

Beads and notions are counted, thread and wire in metres.
What the loads of pieces draw from a tube is in no event of its own: it follows from loadings.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from bench.journal.payload_base import Measure, Payload, Subject, Whole
from bench.journal.typed_texts import Amount, Day

TubeContent = Literal["beads", "thread", "wire", "notion"]
Counting = Literal["weighed", "counted", "empty", "file"]


@dataclass(frozen=True, slots=True)
class Seen:
    """The events of a `bench` up to that `number`."""

    bench: str
    number: Whole


@dataclass(frozen=True, slots=True)
class TubeTaken(Payload):
    """A tube or spool came into the stock, a coil of wire or a bag of notions, with so much in it.

    `size`, `shape`, `colour`: of beads. `number`: the maker's of that bead or thread. `price`: of
    the whole tube, decimal text. `grams`: what it held. `source`: bought, or out of a stock file;
    "asked" where nothing came in, but the price of such a one was asked.
    """

    KIND: ClassVar[str] = "tube_taken"
    SUBJECT: ClassVar[Subject] = "tube"
    what: TubeContent
    name: str
    held: Measure
    day: Day
    source: Literal["bought", "file", "asked"]
    size: str = ""
    shape: str = ""
    colour: str | None = None
    dye_lot: str = ""
    number: str = ""
    shop: str = ""
    place: str = ""
    price: Amount | None = None
    grams: Measure | None = None
    opened: bool = False


@dataclass(frozen=True, slots=True)
class TubeLabelled(Payload):
    """What stands on the tube was put in afterwards; None where it stays, "" where it has none."""

    KIND: ClassVar[str] = "tube_labelled"
    SUBJECT: ClassVar[Subject] = "tube"
    dye_lot: str | None = None
    number: str | None = None
    price: Amount | None = None
    shop: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True)
class TubeOpened(Payload):
    """The tube was opened."""

    KIND: ClassVar[str] = "tube_opened"
    SUBJECT: ClassVar[Subject] = "tube"


@dataclass(frozen=True, slots=True)
class TubeCounted(Payload):
    """So much is in the tube, give or take `error`. `seen`: the events that this count knows of.

    What was drawn in other events, made at other benches, is taken off after it. `how`: "file" as a
    changed stock file says.
    """

    KIND: ClassVar[str] = "tube_counted"
    SUBJECT: ClassVar[Subject] = "tube"
    held: Measure
    error: Measure
    how: Counting
    seen: tuple[Seen, ...]


@dataclass(frozen=True, slots=True)
class TubeGivenAway(Payload):
    """So much of the tube was given away, sold or lost, and why."""

    KIND: ClassVar[str] = "tube_given_away"
    SUBJECT: ClassVar[Subject] = "tube"
    held: Measure
    reason: str = ""


@dataclass(frozen=True, slots=True)
class FileRefused(Payload):
    """What a changed stock file `says` is in the tube was refused; the book stays as it is."""

    KIND: ClassVar[str] = "file_refused"
    SUBJECT: ClassVar[Subject] = "tube"
    says: Measure


@dataclass(frozen=True, slots=True)
class TubeUndone(Payload):
    """An earlier `event` about the tube was taken back: it counts for nothing."""

    KIND: ClassVar[str] = "tube_undone"
    SUBJECT: ClassVar[Subject] = "tube"
    event: str


@dataclass(frozen=True, slots=True)
class TubeDrawn(Payload):
    """So much of a `tube` went into a piece beside its loads: core beads, thread in m, notions.

    `part` "load": the loads themselves, of a piece that was loaded without the program.
    """

    KIND: ClassVar[str] = "tube_drawn"
    tube: str
    held: Measure
    part: Literal["core", "thread", "notion", "load"]


TUBE_KINDS: tuple[type[Payload], ...] = (
    TubeTaken, TubeLabelled, TubeOpened, TubeCounted, TubeGivenAway, FileRefused, TubeUndone,
    TubeDrawn,
)  # fmt: skip
