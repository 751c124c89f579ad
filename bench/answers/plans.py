"""What `steps` and `picture` answer."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from bench.answers import Answer, Part


class Carry(Part):
    """A strand that is carried over resting ones; `bead` is what it brings in, if anything."""

    kind: Literal["carry"] = "carry"
    strand: int
    from_place: int = Field(alias="from")
    to_place: int = Field(alias="to")
    way: Literal["clockwise", "anticlockwise"]
    bead: str | None


class Slide(Part):
    """A strand that slides to even out; it brings in no bead."""

    kind: Literal["slide"] = "slide"
    strand: int
    from_place: int = Field(alias="from")
    to_place: int = Field(alias="to")
    bead: None = None


class MarkDue(Part):
    """Something to do after a cross, in words and numbered steps."""

    do: str
    steps: tuple[str, ...]
    caution: str


class StepLine(Part):
    """One cross; crosses, rounds and rows are counted from 1, `row` is null in plain crosses."""

    cross: int
    round: int
    row: int | None
    call: str
    moves: tuple[Carry | Slide, ...]
    marks: tuple[MarkDue, ...]


class Steps(Answer):
    """`steps PATTERN`; `places` names the places that the moves count, from 1."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    strands: int
    places: tuple[str, ...]
    crosses: int
    rows: int
    marks_before: tuple[MarkDue, ...]
    steps: tuple[StepLine, ...]


class BeadSpot(Part):
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


class BeadLook(Part):
    """What a bead letter stands for."""

    bead: str
    size: str
    colour: str
    name: str


class Picture(Answer):
    """`picture PATTERN`: a prediction. `columns` is null where they are not known."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    columns: int | None
    beads: tuple[BeadSpot, ...]
    looks: tuple[BeadLook, ...]
    length_mm: float
    diameter_mm: float
    hollow_mm: float | None
    says: tuple[str, ...]
    """What the picture rests on."""
    svg: str | None = None
    """The file that was written, if any."""
