"""What `core` answers. Units are in the keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class CoreStack(Part):
    """A core: its beads first in first, and what is right or wrong with it.

    `room_mm` is null where the columns of the braid are not known. `edges_decide` are the beads,
    counted from 1, that fit as balls but not as cylinders, or the other way.
    """

    beads: str
    length_mm: float
    room_mm: float | None
    down_after_cross: int
    clip_off_after_cross: int
    edges_decide: tuple[int, ...]
    findings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class RingLine(Part):
    """The free width inside a ring of one bead, and the largest core bead that fits it."""

    bead: str
    size: str
    free_mm: float
    largest: str | None


@dataclass(frozen=True, kw_only=True)
class CorePart(Part):
    """The core of one piece; lengths to cut, crosses of its marks."""

    on: Literal["wire", "cord"] | None
    planned: CoreStack | None
    suggested: CoreStack | None
    rings: tuple[RingLine, ...]
    wire_mm: float | None
    cord_mm: float | None
    down_after_cross: int | None
    clip_off_after_cross: int | None
    out_after_cross: int | None


@dataclass(frozen=True, kw_only=True)
class CoreAnswer(Answer):
    """`core PATTERN`."""

    pattern: str
    core: CorePart
