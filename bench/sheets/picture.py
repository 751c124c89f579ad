"""The sheet of `picture`: the columns unrolled beside the braid from the side, new on top."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from rich.console import RenderableType
from rich.text import Text

from bench.craft.words import full_name
from bench.sheets.printing import add, columns, line, on_colour
from bench.sheets.side_view import SeenCell, cells
from bench.sheets.words import size_said

if TYPE_CHECKING:
    from bench.answers.picture import PictureAnswer


WIDTH = 79
LABEL = 10
MOST_LINES = 120
KEPT_LINES = 36
_CLOSE = 0.66
"""Lines lie closer than beads in a column, so that no two share a line."""


def lines(picture: PictureAnswer) -> Iterator[RenderableType]:
    """Yield the sheet; without known columns only the figures."""
    yield line(full_name(picture.title, picture.size, picture.colourway), "bold")
    hollow = f", hollow {picture.hollow_mm:.1f} mm" if picture.hollow_mm is not None else ""
    yield line(f"{size_said(picture)}{hollow}")
    for sentence in picture.says:
        yield line(sentence)
    if picture.looks:
        yield line("")
        yield _legend(picture)
    if picture.beads and picture.columns is not None:
        yield line("")
        yield from _drawn(picture, picture.columns)
    if picture.svg is not None:
        yield line(f"drawn into {picture.svg}")


def _legend(picture: PictureAnswer) -> RenderableType:
    table = columns("bead", "size", "colour", "name")
    for look in picture.looks:
        add(table, look.bead, look.size, look.colour, look.name)
    return table


def _drawn(picture: PictureAnswer, count: int) -> Iterator[Text]:
    colours = {look.bead: look.colour for look in picture.looks}
    step_mm = _CLOSE * min(spot.diameter_mm for spot in picture.beads)
    high = max(
        math.ceil((spot.height_mm + spot.diameter_mm / 2) / step_mm) for spot in picture.beads
    )
    pitch = 3 if count <= 8 else 2
    unrolled = f"{count} columns, from outside"
    gap = max(count * pitch, len(unrolled)) + 2
    wide = max(7, WIDTH - LABEL - gap)
    across_mm = max(step_mm / 2, picture.diameter_mm / wide)
    wide = min(wide, math.ceil(picture.diameter_mm / across_mm) | 1)
    flat: list[dict[int, str]] = [{} for _ in range(high + 1)]
    crosses: dict[int, int] = {}
    for spot in picture.beads:
        at = int(spot.height_mm / step_mm)
        flat[at][spot.column] = spot.bead
        crosses.setdefault(at, spot.cross)
    side = cells(picture.beads, wide=wide, high=high, cell_mm=(across_mm, step_mm))
    yield line(f"{'':<{LABEL}}{unrolled:<{gap}}from the side", "bold")
    for above, at in pairwise([high, *_shown(high)]):
        if above - at > 1:
            yield line(f"{'':<{LABEL}}... {(above - at - 1) * step_mm:.0f} mm more ...")
        label = f"{crosses[at]:>6}" if at in crosses else ""
        text = Text(f"{label:<{LABEL}}")
        for column in reversed(range(count)):
            bead = flat[at].get(column)
            text.append(bead or " ", on_colour(colours[bead]) if bead else "")
            text.append(" " * (pitch - 1))
        text.append(" " * (gap - count * pitch))
        for cell in side[at]:
            text.append(*_face(cell, colours))
        text.rstrip()
        yield text
    yield line(f"{'cross':>6}{'':<{LABEL - 6}}new on top, the start below", "dim")


def _shown(high: int) -> list[int]:
    """Return the lines to print from the top down: of a long braid the two ends."""
    if high <= MOST_LINES:
        return list(reversed(range(high)))
    return [*reversed(range(high - KEPT_LINES, high)), *reversed(range(KEPT_LINES))]


def _face(cell: SeenCell | None, colours: dict[str, str]) -> tuple[str, str]:
    if cell is None:
        return " ", ""
    return (cell.bead if cell.middle else ":"), on_colour(colours[cell.bead])
