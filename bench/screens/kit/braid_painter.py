"""A braid in colour: beads to scale in half blocks, seen from one side, a letter on the nearest."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bench.craft.lattice import PlacedBead
from bench.screens.kit.canvas import Canvas

SIDE_ON = 0.75
"""From what share of its distance from the axis on a bead faces the eye, and bears its letter."""
EDGE = 0.72
"""How much darker the edge of a bead is, so that equal ones are told apart."""
DOTS_FOR_A_LETTER = 4
"""A bead of so many dots or more has room for its letter."""


@dataclass(frozen=True, slots=True)
class SeenBead:
    """A bead as the eye has it: mm to the right of the axis, mm along the braid, how near it is.

    `near` is 1 straight in front of the axis, -1 behind it.
    """

    across_mm: float
    along_mm: float
    near: float
    diameter_mm: float
    colour: str
    letter: str


def seen(spots: Iterable[PlacedBead], colours: dict[str, str], front_deg: float) -> list[SeenBead]:
    """See beads from a direction, counted as `PlacedBead.angle_deg` is; the farthest come first."""
    beads = []
    for spot in spots:
        turned = math.radians(spot.angle_deg - front_deg)
        beads.append(
            SeenBead(
                # clockwise from above: what lies a quarter further stands on the eye's left
                -spot.radius_mm * math.sin(turned),
                spot.height_mm,
                math.cos(turned),
                spot.diameter_mm,
                colours[spot.bead],
                spot.bead,
            )
        )
    return sorted(beads, key=lambda bead: bead.near)


def paint(
    canvas: Canvas,
    x: int,
    y: int,
    width: int,
    height: int,
    beads: Sequence[SeenBead],
    dot_mm: float,
    *,
    new_on_top: bool,
) -> None:
    """Paint beads into so many cells, one dot `dot_mm` wide and high: two dots lie in a cell.

    The newest bead ends at the box's top, or with new_on_top=False the oldest one does.
    """
    if not beads:
        return
    ends = [bead.along_mm + bead.diameter_mm / 2 for bead in beads]
    begins = [bead.along_mm - bead.diameter_mm / 2 for bead in beads]
    newest, oldest = max(ends), min(begins)
    dots: dict[tuple[int, int], str] = {}
    letters: dict[tuple[int, int], tuple[str, str]] = {}
    for bead in beads:
        if bead.near < -0.2:
            continue
        middle = width / 2 + bead.across_mm / dot_mm
        down = (newest - bead.along_mm if new_on_top else bead.along_mm - oldest) / dot_mm
        radius = bead.diameter_mm / 2 / dot_mm
        dark = _darker(bead.colour)
        for row in range(max(0, int(down - radius)), min(2 * height, int(down + radius) + 1)):
            for column in range(max(0, int(middle - radius)), min(width, int(middle + radius) + 1)):
                off = math.hypot(column + 0.5 - middle, row + 0.5 - down) / radius
                if off <= 1:
                    dots[column, row] = dark if off > EDGE else bead.colour
                    letters.pop((column, row // 2), None)
        if bead.near > SIDE_ON and 2 * radius >= DOTS_FOR_A_LETTER:
            letters[int(middle), int(down / 2)] = bead.letter, bead.colour
    for row in range(height):
        for column in range(width):
            upper, lower = dots.get((column, 2 * row)), dots.get((column, 2 * row + 1))
            if (column, row) in letters and upper and lower:
                letter, colour = letters[column, row]
                canvas.text(x + column, y + row, letter, f"{_against(colour)}/{colour}")
            elif upper and lower:
                canvas.text(x + column, y + row, "▀", f"{upper}/{lower}")
            elif upper or lower:
                canvas.text(x + column, y + row, "▀" if upper else "▄", upper or lower or "")


def _parts(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _darker(colour: str) -> str:
    red, green, blue = (int(part * EDGE) for part in _parts(colour))
    return f"#{red:02x}{green:02x}{blue:02x}"


def _against(colour: str) -> str:
    """Black or white, whichever is read more easily on a colour (WCAG 2.2, relative luminance)."""
    parts = [part / 255 for part in _parts(colour)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return "#000000" if (light + 0.05) / 0.05 > 1.05 / (light + 0.05) else "#ffffff"
