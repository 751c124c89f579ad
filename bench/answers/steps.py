"""What `steps` answers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class Carry(Part):
    """A strand that is carried over resting ones; `bead` is what it brings in, if anything."""

    kind: Literal["carry"] = "carry"
    strand: int
    from_place: int
    to_place: int
    way: Literal["clockwise", "anticlockwise"]
    bead: str | None


@dataclass(frozen=True, kw_only=True)
class Slide(Part):
    """A strand that slides to even out; it brings in no bead."""

    kind: Literal["slide"] = "slide"
    strand: int
    from_place: int
    to_place: int
    bead: None = None


@dataclass(frozen=True, kw_only=True)
class MarkDue(Part):
    """Something to do after a cross, in words and numbered steps."""

    do: str
    steps: tuple[str, ...]
    caution: str


@dataclass(frozen=True, kw_only=True)
class CrossLine(Part):
    """One cross; crosses, rounds and rows are counted from 1, `row` is null in plain crosses."""

    cross: int
    round: int
    row: int | None
    call: str
    moves: tuple[Carry | Slide, ...]
    marks: tuple[MarkDue, ...]


@dataclass(frozen=True, kw_only=True)
class StepsAnswer(Answer):
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
    steps: tuple[CrossLine, ...]
