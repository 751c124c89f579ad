"""What `picture` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class PicturedBead(Part):
    """A bead in its place: column from 0 clockwise from above, centre above the braid's start.

    `angle_deg` is its direction from above, clockwise from column 0; with a measured turn the
    columns lean.
    """

    cross: int
    strand: int
    bead: str
    column: int
    height_mm: float
    radius_mm: float
    angle_deg: float
    diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class LegendLine(Part):
    """What a bead letter stands for."""

    bead: str
    size: str
    colour: str
    name: str


@dataclass(frozen=True, kw_only=True)
class PictureAnswer(Answer):
    """`picture PATTERN`: a prediction. `columns` is null where they are not known."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    columns: int | None
    beads: tuple[PicturedBead, ...]
    looks: tuple[LegendLine, ...]
    length_mm: float
    length_low_mm: float
    length_high_mm: float
    diameter_mm: float
    diameter_at_most: bool
    hollow_mm: float | None
    says: tuple[str, ...]
    """What the picture rests on."""
    svg: str | None = None
    """The file that was written, if any."""
