"""The braid from the side: which bead is in front at each point, seen from the maker's side.

A viewer outside sees what goes clockwise from above go to the left. Up is where the braid grows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bench.answers.picture import PicturedBead


@dataclass(frozen=True, slots=True)
class SeenCell:
    """What is seen at one point: a bead's letter, and whether its middle is there."""

    bead: str
    middle: bool


@dataclass(frozen=True, slots=True)
class SideBead:
    """A bead as it is seen: centre across (right positive) and up, and nearness to the viewer."""

    spot: PicturedBead
    across_mm: float
    up_mm: float
    near_mm: float


def seen(spots: Sequence[PicturedBead]) -> list[SideBead]:
    """Return every bead as a viewer opposite column 0 sees it, the nearest last."""
    found = [
        SideBead(
            spot,
            -spot.radius_mm * math.sin(math.radians(spot.angle_deg)),
            spot.height_mm,
            spot.radius_mm * math.cos(math.radians(spot.angle_deg)),
        )
        for spot in spots
    ]
    return sorted(found, key=lambda bead: bead.near_mm)


def cells(
    spots: Sequence[PicturedBead], *, wide: int, high: int, cell_mm: tuple[float, float]
) -> list[list[SeenCell | None]]:
    """Return rows of cells from the foot up, `wide` across with the axis in the middle."""
    across_mm, up_mm = cell_mm
    grid: list[list[SeenCell | None]] = [[None] * wide for _ in range(high)]
    for bead in seen(spots):
        if bead.near_mm < 0:
            continue
        half = bead.spot.diameter_mm / 2
        middle = (_column(bead.across_mm, wide, across_mm), int(bead.up_mm / up_mm))
        for row, column in _reached(bead, half, wide, high, cell_mm):
            grid[row][column] = SeenCell(bead.spot.bead, (column, row) == middle)
        if 0 <= middle[1] < high and 0 <= middle[0] < wide:
            grid[middle[1]][middle[0]] = SeenCell(bead.spot.bead, middle=True)
    return grid


def _column(across_mm: float, wide: int, cell_mm: float) -> int:
    return math.floor(across_mm / cell_mm + wide / 2)


def _reached(
    bead: SideBead, half: float, wide: int, high: int, cell_mm: tuple[float, float]
) -> Iterator[tuple[int, int]]:
    """Yield the cells whose middle lies on a bead."""
    across_mm, up_mm = cell_mm
    first = max(0, math.floor((bead.up_mm - half) / up_mm))
    for row in range(first, min(high, math.floor((bead.up_mm + half) / up_mm) + 1)):
        up = (row + 0.5) * up_mm - bead.up_mm
        if abs(up) > half:
            continue
        reach = math.sqrt(half * half - up * up)
        left = max(0, math.ceil((bead.across_mm - reach) / across_mm + wide / 2 - 0.5))
        right = min(wide - 1, math.floor((bead.across_mm + reach) / across_mm + wide / 2 - 0.5))
        for column in range(left, right + 1):
            yield row, column
