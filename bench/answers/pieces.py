"""What `inspect` and `pack` answer: the pieces of a commission, each in one state."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part
from bench.answers.finished import FinishedPiece


@dataclass(frozen=True, kw_only=True)
class PieceOfLot(Part):
    """A piece: its state, where it is packed, the looks it failed, what is off the sample.

    `handed_over`: the first day on which it was, kept while it is repaired. `inspected`: what the
    last inspection found; null where there was none.
    """

    piece: str
    name: str
    lot: str
    number: int | None
    status: str
    sample: bool
    tray: str
    delivered: str | None
    handed_over: str | None
    reason: str | None
    inspected: str | None
    failed: tuple[str, ...]
    length_mm: float | None
    thickness_mm: float | None
    weight_g: float | None
    off: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class LotCounts(Part):
    """A lot: how many pieces are in each state, how many are promised, how many are spare."""

    lot: str
    pieces: int
    promised: int
    spare: int
    counts: dict[str, int]


@dataclass(frozen=True, kw_only=True)
class SampleLine(Part):
    """The sample of a lot's pattern, size and colourway.

    `approved`: the day on which the customer approved it. `waived`: why the lot need not wait.
    `changed`: what of the pattern was changed since it was made; `anew`: so that another one is
    needed, else it is to be looked at. `scatter_length_mm`, `scatter_thickness_mm`,
    `scatter_weight_g`: the standard deviation of the maker's own good pieces, once there are five.
    """

    lot: str
    piece: str | None
    approved: str | None
    waived: str | None
    waits: bool
    changed: str | None
    anew: bool
    length_mm: float | None
    thickness_mm: float | None
    weight_g: float | None
    scatter_length_mm: float | None
    scatter_thickness_mm: float | None
    scatter_weight_g: float | None


@dataclass(frozen=True, kw_only=True)
class ReasonShare(Part):
    """How many of so many pieces had a reason, or failed a look: 8 in 10 between."""

    reason: str
    count: int
    of: int
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class TrayLine(Part):
    """What lies in a tray, by lot."""

    tray: str
    pieces: int
    lots: dict[str, int]


@dataclass(frozen=True, kw_only=True)
class PiecesAnswer(Answer):
    """`inspect COMMISSION` and `pack COMMISSION`.

    `reasons`: why finished pieces were seconds, spoilt or given up; `looks_failed`: of those that
    were inspected, what they failed, good ones among them. `stock`: pieces of the order that are
    finished stock, or left it.
    """

    commission: str
    title: str
    looks: tuple[str, ...]
    lots: tuple[LotCounts, ...]
    pieces: tuple[PieceOfLot, ...]
    samples: tuple[SampleLine, ...]
    reasons: tuple[ReasonShare, ...]
    looks_failed: tuple[ReasonShare, ...]
    trays: tuple[TrayLine, ...]
    stock: tuple[FinishedPiece, ...]
    done: tuple[str, ...]
    file: str | None
    waits: bool
