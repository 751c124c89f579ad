"""A braid to scale, seen from one side: in colour by half blocks, else by its beads' letters."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from bench.craft.lattice import PlacedBead
from bench.screens.kit.canvas import Canvas

SIDE_ON = 0.75
"""From what share of its distance from the axis on a bead faces the eye, and bears its letter."""
EDGE = 0.72
"""How much darker the edge of a bead is, so that equal ones are told apart."""
BEHIND = -0.2
"""A bead that is no nearer than this is of the far side, hidden by others."""
FAR = 0.35
"""How dark a bead of the far side is, where it is seen between those in front."""
DOTS_FOR_AN_EDGE = 3
"""A smaller bead has no edge: it would be all edge."""
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
    colours: bool = True,
    back: bool = False,
) -> None:
    """Paint beads into so many cells, one dot `dot_mm` wide and high: two dots lie in a cell.

    The newest bead ends at the box's top, or with new_on_top=False the oldest one begins there.
    Without colours each cell of a bead holds its letter. With `back` the beads of the far side
    are seen, dark, where the near ones leave gaps.
    """
    if not beads:
        return
    edge_mm = (
        max(bead.along_mm + bead.diameter_mm / 2 for bead in beads)
        if new_on_top
        else min(bead.along_mm - bead.diameter_mm / 2 for bead in beads)
    )
    dots: dict[tuple[int, int], tuple[str, str]] = {}
    letters: dict[tuple[int, int], SeenBead] = {}
    for bead in beads:
        if bead.near < BEHIND and not back:
            continue
        middle = width / 2 + bead.across_mm / dot_mm
        down = (edge_mm - bead.along_mm if new_on_top else bead.along_mm - edge_mm) / dot_mm
        radius = bead.diameter_mm / 2 / dot_mm
        light = _light(bead.near, radius)
        inner, outer = _darker(bead.colour, light), _darker(bead.colour, EDGE * light)
        if radius < DOTS_FOR_AN_EDGE / 2:
            outer = inner
        for column, row, is_edge in _round_dots(middle, down, radius, width, 2 * height):
            dots[column, row] = bead.letter, outer if is_edge else inner
            letters.pop((column, row // 2), None)
        if bead.near > SIDE_ON and 2 * radius >= DOTS_FOR_A_LETTER:
            letters[int(middle), int(down / 2)] = bead
    for row in range(height):
        for column in range(width):
            upper, lower = dots.get((column, 2 * row)), dots.get((column, 2 * row + 1))
            nearest = upper or lower
            if nearest is None:
                continue
            if not colours:
                canvas.text(x + column, y + row, nearest[0])
            elif (column, row) in letters and upper and lower:
                bead = letters[column, row]
                style = f"{_against(bead.colour)}/{bead.colour}"
                canvas.text(x + column, y + row, bead.letter, style)
            elif upper and lower:
                canvas.text(x + column, y + row, "▀", f"{upper[1]}/{lower[1]}")
            else:
                canvas.text(x + column, y + row, "▀" if upper else "▄", nearest[1])


def _round_dots(
    middle: float, down: float, radius: float, width: int, height: int
) -> Iterator[tuple[int, int, bool]]:
    """The dots of a disc by column and row, and whether each lies at its edge.

    At least one, and none outside so many columns and rows.
    """
    if 0 <= int(middle) < width and 0 <= int(down) < height:
        yield int(middle), int(down), False
    reach, edge = radius * radius, (EDGE * radius) ** 2
    for row in range(max(0, int(down - radius)), min(height, int(down + radius) + 1)):
        off_down = (row + 0.5 - down) ** 2
        for column in range(max(0, int(middle - radius)), min(width, int(middle + radius) + 1)):
            off = (column + 0.5 - middle) ** 2 + off_down
            if off <= reach:
                yield column, row, off > edge


def _light(near: float, radius: float) -> float:
    """How light a bead is painted: dark on the far side; by its side too, if it has no edge."""
    if near < BEHIND:
        return FAR
    return 1.0 if radius >= DOTS_FOR_AN_EDGE / 2 else EDGE + (1 - EDGE) * max(0.0, near)


def _parts(colour: str) -> tuple[int, int, int]:
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


@lru_cache(maxsize=1024)
def _darker(colour: str, light: float) -> str:
    if light >= 1:
        return colour
    red, green, blue = (int(part * light) for part in _parts(colour))
    return f"#{red:02x}{green:02x}{blue:02x}"


def _against(colour: str) -> str:
    """Black or white, whichever is read more easily on a colour (WCAG 2.2, relative luminance)."""
    parts = [part / 255 for part in _parts(colour)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return "#000000" if (light + 0.05) / 0.05 > 1.05 / (light + 0.05) else "#ffffff"
