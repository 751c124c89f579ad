"""What `needs` answers. Units are in the keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.answers import Answer, Part
from bench.answers.loading_sheet import BeadKind, CutLine


@dataclass(frozen=True, kw_only=True)
class BeadNeed(BeadKind):
    """One kind of bead to have: the count of all pieces, core beads included, with spare."""

    count: int
    with_spare: int
    grams: float
    tubes: int
    have_g: float


@dataclass(frozen=True, kw_only=True)
class ThreadNeed(Part):
    """One thread to have."""

    name: str
    metres: float
    spools: int
    have_m: float


@dataclass(frozen=True, kw_only=True)
class LotNeed(Part):
    """What is cut for the pieces of one lot."""

    lot: str
    pattern: str
    pieces: int
    cuts: tuple[CutLine, ...]
    thread: str
    wire_mm: float | None
    needle: str


@dataclass(frozen=True, kw_only=True)
class DyeLotLine(Part):
    """The dye lot that a lot of pieces takes of a bead, or of thread (its `size` is empty).

    Null: it has to mix, or there is none.
    """

    size: str
    name: str
    lot: str
    dye_lot: str | None


@dataclass(frozen=True, kw_only=True)
class Notion(Part):
    """Anything counted. `used_up` things are needed for every piece, the others once."""

    name: str
    count: int
    used_up: bool


@dataclass(frozen=True, kw_only=True)
class BeadToBuy(BeadKind):
    """The bead that a purchase is of, and what one of it weighs."""

    mass_g: float


@dataclass(frozen=True, kw_only=True)
class Purchase(Part):
    """Something to buy: `missing` in `unit`, as so many packs, and the price of all of them.

    `held`: what a pack holds in that unit, null of what is counted. `bead`: null of anything else.
    """

    what: str
    missing: float
    unit: Literal["g", "m", "count"]
    packs: int
    pack: str
    held: float | None
    price: float | None
    bead: BeadToBuy | None
    kind: Literal["beads", "thread", "wire", "notions"]
    shop: str
    """Where your stock says that it is bought; empty where it does not say."""


@dataclass(frozen=True, kw_only=True)
class PurchaseCost(Part):
    """What the shopping costs; not complete where a price is missing."""

    amount: float
    currency: str
    complete: bool


@dataclass(frozen=True, kw_only=True)
class NeedsAnswer(Answer):
    """`needs PATTERN|COMMISSION`.

    `cut_mm` and `wire_mm` are of the longest piece; `short` is what the stock lacks, `buy` the
    same with packs and prices, and everything where no stock is kept.
    """

    of: str
    pieces: int
    beads: tuple[BeadNeed, ...]
    thread_m: float
    threads: tuple[ThreadNeed, ...]
    cut_mm: float
    wire_mm: float | None
    needle: str
    lots: tuple[LotNeed, ...]
    notions: tuple[Notion, ...]
    dye_lots: tuple[DyeLotLine, ...]
    """Of beads and threads that the stock has in more than one dye lot."""
    stock: str | None
    list: str | None
    """The file that the shopping list was written to."""
    short: tuple[str, ...]
    mixing: tuple[str, ...]
    """Where a lot of pieces has to mix dye lots; told among the warnings too."""
    buy: tuple[Purchase, ...]
    cost: PurchaseCost | None
    rests_on: tuple[str, ...]
    cautions: tuple[str, ...]
