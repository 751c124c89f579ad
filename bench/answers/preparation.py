"""The JSON of the preparation commands: sheet, core, weights, needs. Units are in the keys."""

from __future__ import annotations

from typing import Literal

from bench.answers import Answer, Part


class BeadRow(Part):
    """One kind of bead of a piece: how many are strung and how many lie in the core."""

    bead: str
    size: str
    shape: str
    colour: str
    name: str
    count: int
    core: int
    diameter_mm: float


class GroupOut(Part):
    """So many beads that go on together; `on` is what the half then holds."""

    bead: str
    count: int
    on: int


class WeighedOut(Part):
    """What the beads of a half should weigh, and whether this scale tells one bead."""

    expected_g: float
    least_g: float
    most_g: float
    false_alarm: float
    tells: bool
    notices_one_bead: dict[str, float]
    says: str


class ProveOut(Part):
    """How a half is proved."""

    how: Literal["side by side", "count", "length", "weight"]
    says: str
    strung_mm: float
    weighed: WeighedOut | None


class StrandOut(Part):
    """One half: where it goes, and its beads in the order in which they go on."""

    strand: int
    place: str
    thread: int
    half: str
    strung_as: int
    string: tuple[GroupOut, ...]
    total: int
    prove: ProveOut


class ThreadOut(Part):
    """One thread of two strands, or of one: clip, needle and picture."""

    thread: int
    strands: tuple[int, ...]
    clip: str
    needle: str
    says: str
    picture: str


class CutOut(Part):
    """So many lengths to cut, each for one or two strands."""

    lengths: int
    strands_each: int
    cut_mm: float


class ThreadPart(Part):
    """Thread and needle of one piece."""

    name: str
    diameter_mm: float
    cuts: tuple[CutOut, ...]
    total_m: float
    worked_in_mm: float
    hang_mm: float
    take_up: float
    needle: str
    says: tuple[str, ...]


class CoreStack(Part):
    """A core: its beads first in first, and what is right or wrong with it.

    `room_mm` is null where the columns of the braid are not known.
    """

    beads: str
    length_mm: float
    room_mm: float | None
    down_after_cross: int
    clip_off_after_cross: int
    findings: tuple[str, ...]


class Ring(Part):
    """The free width inside a ring of one bead, and the largest core bead that fits it."""

    bead: str
    size: str
    free_mm: float
    largest: str | None


class CorePart(Part):
    """The core of one piece; lengths to cut, crosses of its marks."""

    on: Literal["wire", "cord"] | None
    planned: CoreStack | None
    suggested: CoreStack | None
    rings: tuple[Ring, ...]
    wire_mm: float | None
    cord_mm: float | None
    down_after_cross: int | None
    clip_off_after_cross: int | None
    out_after_cross: int | None


class Change(Part):
    """The counterweight from a cross on, and what to change for it."""

    cross: int
    counterweight_g: float
    take_off_g: tuple[float, ...]
    add_g: tuple[float, ...]


class MarkOut(Part):
    """Something to do after a cross."""

    after_cross: int
    do: str
    caution: str


class Predicted(Part):
    """What the finished braid is predicted to be, and what that rests on."""

    length_mm: float
    diameter_mm: float
    rests_on: str


class SheetOut(Answer):
    """`sheet PATTERN`."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    structure: str
    crosses: int
    rows: int
    beads_in_all: int
    predicted: Predicted
    sample: str | None
    beads: tuple[BeadRow, ...]
    strung: str
    double_lengths: tuple[ThreadOut, ...]
    single_strands: tuple[ThreadOut, ...]
    strands: tuple[StrandOut, ...]
    thread: ThreadPart
    core: CorePart | None
    counterweight: str
    marks: tuple[MarkOut, ...]
    cautions: tuple[str, ...]


class CoreOut(Answer):
    """`core PATTERN`."""

    pattern: str
    core: CorePart


class WeightsOut(Answer):
    """`weights PATTERN`. `start_g` and `end_g` are what the fraction asks for."""

    pattern: str
    fraction: float
    start_g: float
    end_g: float
    hang_g: tuple[float, ...]
    core_g: float
    bag_g: float
    angle_deg: float
    least_share: float
    most_share: float
    says: str
    schedule: tuple[Change, ...]
    point: str | None = None


class NeedBead(Part):
    """One kind of bead to have: the count of all pieces, core beads included, with spare."""

    bead: str
    size: str
    shape: str
    colour: str
    name: str
    count: int
    with_spare: int
    grams: float
    tubes: int
    have_g: float


class NeedThread(Part):
    """One thread to have."""

    name: str
    metres: float
    spools: int
    have_m: float


class LotNeed(Part):
    """What is cut for the pieces of one lot."""

    lot: str
    pattern: str
    pieces: int
    cuts: tuple[CutOut, ...]
    thread: str
    wire_mm: float | None
    needle: str


class Notion(Part):
    """Anything counted. `used_up` things are needed for every piece, the others once."""

    name: str
    count: int
    used_up: bool


class Buy(Part):
    """Something to buy: `missing` in `unit`, as so many packs, and the price of all of them."""

    what: str
    missing: float
    unit: Literal["g", "m", "count"]
    packs: int
    pack: str
    price: float | None


class Cost(Part):
    """What the shopping costs; not complete where a price is missing."""

    amount: float
    currency: str
    complete: bool


class NeedsOut(Answer):
    """`needs PATTERN|COMMISSION`.

    `cut_mm` and `wire_mm` are of the longest piece; `short` is what the stock lacks, `buy` the
    same with packs and prices, and everything where no stock is kept.
    """

    of: str
    pieces: int
    beads: tuple[NeedBead, ...]
    thread_m: float
    threads: tuple[NeedThread, ...]
    cut_mm: float
    wire_mm: float | None
    needle: str
    lots: tuple[LotNeed, ...]
    notions: tuple[Notion, ...]
    stock: str | None
    short: tuple[str, ...]
    buy: tuple[Buy, ...]
    cost: Cost | None
    rests_on: tuple[str, ...]
    cautions: tuple[str, ...]
