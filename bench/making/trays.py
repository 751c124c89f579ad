"""The trays to lay out before loading: each bead for all sets, with spare and culls."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers.loading_sheet import BeadLine
from bench.craft.spare import Spare, lost_or_culled
from bench.documents.settings import Settings
from bench.making.loading_sheet import bead_rows
from bench.making.worked_pattern import WorkedPattern

SMALL_MM = 1.5
"""Beads up to the thickness of a 15/0 get the larger spare."""


@dataclass(frozen=True, slots=True)
class Tray:
    """One kind of bead: how many are needed on threads and in cores, and how many to lay out."""

    line: BeadLine
    strung: int
    core: int
    lay_out: int


def spare_of(diameter_mm: float, settings: Settings) -> Spare:
    """How beads of a size are lost or culled, and how seldom they may run short."""
    thumb = settings.thumb
    lost = thumb.spare_small if diameter_mm <= SMALL_MM else thumb.spare
    return Spare(lost_or_culled(lost, thumb.culls), thumb.short)


def trays_for(made: WorkedPattern, sets: int, settings: Settings) -> tuple[Tray, ...]:
    """The trays for so many sets of a pattern, by letter."""
    return tuple(
        Tray(
            line,
            sets * line.count,
            sets * line.core,
            spare_of(line.diameter_mm, settings).beads_for(sets * (line.count + line.core)),
        )
        for line in bead_rows(made)
    )
