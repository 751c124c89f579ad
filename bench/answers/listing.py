"""What `list` answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.answers import Answer, Part

Basis = Literal["guess", "your pieces", "predicted from your pieces"]


@dataclass(frozen=True, kw_only=True)
class PatternLine(Part):
    """A pattern that can be made. Where its file is wrong, `error` says how, the rest is empty."""

    name: str
    file: str
    shipped: bool
    error: str | None = None
    title: str = ""
    structure: str = ""
    strands: int | None = None
    crosses: int | None = None
    rows: int | None = None
    beads: int | None = None
    length_mm: float | None = None
    length_low_mm: float | None = None
    length_high_mm: float | None = None
    diameter_mm: float | None = None
    diameter_at_most: bool = False
    """Whether it is only known to be no thicker."""
    sizes: tuple[str, ...] = ()
    colourways: tuple[str, ...] = ()
    pieces: int = 0
    """Finished pieces whose whole time is known."""
    hands_on_s: float | None = None
    low_s: float | None = None
    high_s: float | None = None
    basis: Basis = "guess"
    """What the time rests on. Low and high: your fastest and slowest, from three pieces on."""


@dataclass(frozen=True, kw_only=True)
class DocumentLine(Part):
    """A structure or a commission."""

    name: str
    file: str
    shipped: bool
    error: str | None = None
    title: str = ""
    strands: int | None = None
    pieces: int | None = None


@dataclass(frozen=True, kw_only=True)
class PieceLine(Part):
    """A piece in the making."""

    piece: str
    title: str
    pattern: str
    size: str | None
    colourway: str | None
    lot: str | None
    tag: str | None
    """The tag of a set that was loaded for it."""
    stage: str | None
    stages_done: tuple[str, ...]
    made: int
    paused: bool
    not_understood: int
    """Events of it that do not hold what their kind must: they are kept, and change nothing."""
    last_at: str
    """Local time with its offset, ISO 8601."""


@dataclass(frozen=True, kw_only=True)
class ListAnswer(Answer):
    """`list`."""

    patterns: tuple[PatternLine, ...]
    structures: tuple[DocumentLine, ...]
    commissions: tuple[DocumentLine, ...]
    in_the_making: tuple[PieceLine, ...]
