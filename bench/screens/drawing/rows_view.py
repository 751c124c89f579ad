"""The rows of a sheet rolled out: one line a row, its stripes in their order round the braid."""

from __future__ import annotations

from bench.craft.pattern import Pattern
from bench.design.sheet import Cell
from bench.screens.drawing.drawing import Drawing
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.picking import window

NUMBERS = 5
"""Columns of the rows' numbers."""


def width_of(strands: int, room: int) -> int:
    """How wide the rows are: three columns a bead, two where there is no room for three."""
    return NUMBERS + strands * (3 if NUMBERS + 3 * strands <= room else 2)


def draw_rows(
    canvas: Canvas, x: int, y: int, width: int, height: int, drawing: Drawing, pattern: Pattern
) -> None:
    """Draw the rows round the cursor; each cell can be touched."""
    sheet, stripes = drawing.sheet, drawing.stripes
    wide = (width - NUMBERS) // len(stripes)
    heading = "row" if drawing.map.known else "move"
    canvas.text(x, y, heading, "dim")
    for at, strand in enumerate(stripes):
        style = "call" if at == drawing.stripe else "dim"
        canvas.text(x + NUMBERS + at * wide, y, str(strand), style)
    reached = drawing.reached()
    shown = window(max(sheet.rows + 1, drawing.row), drawing.row - 1, height - 1)
    for line, row in enumerate((number + 1 for number in shown), y + 1):
        here = row == drawing.row
        canvas.right(line, f"{row:,}" if row < 10_000 else str(row), "call" if here else "dim",
                     x + NUMBERS - 1)  # fmt: skip
        for at, strand in enumerate(stripes):
            cell = Cell(strand, row)
            letter = sheet.at(cell)
            left = x + NUMBERS + at * wide
            canvas.zone(left, line, wide, 1, f"cell {strand} {row}")
            style = "bold" if cell in reached else ""
            if here and at == drawing.stripe:
                style = "picked"
            elif cell in reached:
                style = "key"
            canvas.text(left, line, letter or "·", style)
            if letter in pattern.beads:
                canvas.text(left + 1, line, "█", pattern.beads[letter].colour)
