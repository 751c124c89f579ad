"""What `recipe` answers: everything that made a sample what it is."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class DyeLotLeft(Part):
    """How many beads of a dye lot are left now; `used`: the piece was loaded from it."""

    dye_lot: str
    left: int
    used: bool


@dataclass(frozen=True, kw_only=True)
class RecipeBead(Part):
    """A bead of the piece, with the dye lots and maker's numbers that it was loaded from.

    `count`: in all, those in the `core` among them. `left`: of every dye lot that there is of it.
    """

    letter: str
    size: str
    shape: str
    name: str
    colour: str
    count: int
    core: int
    dye_lots: tuple[str, ...]
    numbers: tuple[str, ...]
    left: tuple[DyeLotLeft, ...]


@dataclass(frozen=True, kw_only=True)
class RecipeCore(Part):
    """The core: `on` wire or cord, `beads` first in first, how much is cut, when it goes down."""

    on: str
    beads: str
    cut_mm: float | None
    down_after_cross: int | None


@dataclass(frozen=True, kw_only=True)
class HungLater(Part):
    """The counterweight that was to hang from after a cross on, in all."""

    after_cross: int
    counterweight_g: float


@dataclass(frozen=True, kw_only=True)
class OnTheWay(Part):
    """What was done, or seen, after a cross; `done`: it was marked as done."""

    after_cross: int
    what: str
    done: bool


@dataclass(frozen=True, kw_only=True)
class NotGood(Part):
    """A piece of the lot that did not come out good: how it is called, what it is, and why."""

    piece: str
    status: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class RecipeAnswer(Answer):
    """`recipe COMMISSION LOT`. Days are ISO 8601.

    `version`: of the pattern, by the beginning of its fingerprint; `version_words`: its number, day
    and what was changed in it, "" for a pattern without versions. `begun_on`, `made_on`: the days
    of the piece. `as_hung`: `tama_g`, `counterweight_g` and the `weights_g` in it are those that
    were hung at its set-up, `weights_later` how they were to change on the way; else they are as
    your settings are today, as `cut` always is. `thread_cut_mm`: a strand of it, as measured.
    `signed_off`, `approved`: as the sample, by the maker and by the customer; `waived`: why it was
    not waited for. `plain_start`, `plain_end`: crosses before and after the beads. `like`: the
    piece whose card the lot was begun from. `differs`: what is other by now, for so many `pieces`
    more. `begun`: the commission that was begun from it.
    """

    commission: str
    lot: str
    piece: str
    pattern: str
    title: str
    size: str | None
    colourway: str | None
    version: str
    version_words: str
    begun_on: str
    made_on: str
    signed_off: str | None
    approved: str | None
    waived: str | None
    loads: tuple[str, ...]
    beads: tuple[RecipeBead, ...]
    core: RecipeCore | None
    plain_start: int
    plain_end: int
    crosses: int
    thread: str
    cut: str
    thread_cut_mm: float | None
    needles: str
    tama_g: tuple[float, ...]
    counterweight_g: float | None
    weights_g: tuple[float, ...]
    weights_later: tuple[HungLater, ...]
    as_hung: bool
    on_the_way: tuple[OnTheWay, ...]
    length_mm: float | None
    thickness_mm: float | None
    weight_g: float | None
    not_good: tuple[NotGood, ...]
    like: str | None
    pieces: int
    differs: tuple[str, ...]
    begun: str | None
    file: str | None
    waits: bool
