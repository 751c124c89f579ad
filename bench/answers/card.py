"""What `card` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part
from bench.answers.picture import LegendLine, PicturedBead


@dataclass(frozen=True, kw_only=True)
class CardBead(LegendLine):
    """A bead of a piece, as thick as it is."""

    diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class CardPiece(Part):
    """The pattern in one size and colourway; null is the pattern's own.

    `price` is null where none was given. `beads` is empty where no columns are known.
    """

    size: str | None
    colourway: str | None
    beads: tuple[PicturedBead, ...]
    looks: tuple[CardBead, ...]
    length_mm: float
    length_low_mm: float
    length_high_mm: float
    diameter_mm: float
    diameter_at_most: bool
    beads_in_all: int
    beads_g: float
    price: float | None


@dataclass(frozen=True, kw_only=True)
class CardAnswer(Answer):
    """`card PATTERN`: its sizes and colourways beside each other. `figures`: which are shown."""

    pattern: str
    title: str
    figures: tuple[str, ...]
    currency: str
    pieces: tuple[CardPiece, ...]
    html: str | None = None
    svg: str | None = None
