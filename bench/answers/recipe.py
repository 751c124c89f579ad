"""What `recipe` answers: everything that made a sample what it is."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class RecipeBead(Part):
    """A bead of the piece, with the dye lots and maker's numbers that it was loaded from."""

    letter: str
    size: str
    shape: str
    name: str
    colour: str
    count: int
    dye_lots: tuple[str, ...]
    numbers: tuple[str, ...]
    left: int
    """Beads of those dye lots that are left now."""


@dataclass(frozen=True, kw_only=True)
class RecipeAnswer(Answer):
    """`recipe COMMISSION LOT`. `version`: of the pattern, by the beginning of its fingerprint.

    `tama_g`, `counterweight_g`: as your settings are today. `differs`: what is other by now, for
    so many `pieces` more. `begun`: the commission that was begun from it.
    """

    commission: str
    lot: str
    piece: str
    pattern: str
    title: str
    size: str | None
    colourway: str | None
    version: str
    made_on: str
    loads: tuple[str, ...]
    beads: tuple[RecipeBead, ...]
    thread: str
    cut: str
    needles: str
    tama_g: tuple[float, ...]
    counterweight_g: float | None
    length_mm: float | None
    thickness_mm: float | None
    weight_g: float | None
    pieces: int
    differs: tuple[str, ...]
    begun: str | None
    file: str | None
    waits: bool
