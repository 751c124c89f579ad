"""What `sketch` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part
from bench.answers.forecast import Money
from bench.answers.pace import SecondsInterval


@dataclass(frozen=True, kw_only=True)
class SketchedBead(Part):
    """A bead of the new pattern, and how many the braid takes, the core left out."""

    bead: str
    size: str
    colour: str
    name: str
    count: int


@dataclass(frozen=True, kw_only=True)
class ShapeProposal(Part):
    """Rows for a wish: the size of each, and how far off in mm (+: longer, thicker).

    `in_the_way`: the wish that is not met, and why; empty where they come near.
    """

    take: int
    rows: int
    sizes: tuple[str, ...]
    length_mm: float
    too_long_mm: float
    off_mm: tuple[float, ...]
    in_the_way: str


@dataclass(frozen=True, kw_only=True)
class AlikeBeads(Part):
    """Two beads that touch and look alike, and in which light or to which eyes."""

    beads: tuple[str, str]
    seen: str
    apart: float


@dataclass(frozen=True, kw_only=True)
class SketchFigures(Part):
    """What one piece comes to. `lacks`: what the stock has too little of, or all without a stock.

    The length is a range over the rules that there are, plain ends included.
    """

    beads_g: float
    length_low_mm: float
    length_high_mm: float
    hands_on: SecondsInterval
    price: Money
    lacks: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class SketchAnswer(Answer):
    """`sketch NEW`: the pattern that was made, and where it was written.

    `file` is null where nothing was to be written. `loads` has one string for each strand, counts
    and letters in order of release. `operations`: what was done, each a line for another sketch.
    """

    pattern: str
    title: str
    made_from: str
    file: str | None
    structure: str
    loads: tuple[str, ...]
    rows: int
    crosses: int
    beads: tuple[SketchedBead, ...]
    beads_in_all: int
    length_mm: float
    beaded_mm: float
    diameter_mm: float
    sizes: tuple[str, ...]
    colourways: tuple[str, ...]
    proposals: tuple[ShapeProposal, ...]
    alike: tuple[AlikeBeads, ...]
    to_ask: tuple[str, ...]
    operations: tuple[str, ...]
    figures: SketchFigures
    findings: tuple[str, ...]
    """What is unsound in it, in the pattern's own size."""
