"""The board above the panel: its heading, the outline as it hangs, the rows, the strands."""

from __future__ import annotations

from bench.craft.pattern import Pattern
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.outline import Outline, core_words
from bench.screens.drawing.rows_view import draw_rows, width_of
from bench.screens.drawing.side_panel import put_side
from bench.screens.drawing.strands_view import draw_strands
from bench.screens.kit.canvas import Canvas, wrap

PANEL = 7
"""Lines below the rule, left to the mode that is up."""
TOP = 2
"""The first line of the picture, below its heading and a rule."""
LEAST_STRANDS = 14
"""Columns that the strands as text need at the least."""
A_CHART = "a chart, not a picture: where its beads come to lie is not known"
SPACIOUS = 100, 30
"""From so many columns and lines on more stands below the strands."""


class Picture:
    """Draws the upper part of the board."""

    def __init__(self, drawing: Drawing) -> None:
        self._drawing = drawing
        self._outline = Outline()

    def draw(self, width: int, height: int) -> Canvas:
        """Draw it on a canvas of the whole screen."""
        canvas = Canvas(width, height)
        drawing = self._drawing
        pattern = drawing.draft.shown(drawing.sheet)
        self._draw_heading(canvas)
        canvas.rule(1)
        canvas.rule(height - PANEL - 1)
        high = height - PANEL - 1 - TOP
        x = self._draw_outline(canvas, high, pattern)
        wide = width_of(drawing.sheet.strands, width - x - LEAST_STRANDS - 2)
        draw_rows(canvas, x, TOP, wide, high, drawing, pattern)
        x += wide + 2
        if width - x - 1 >= LEAST_STRANDS:
            self._draw_strands(canvas, x, high, pattern)
        return canvas

    def _draw_heading(self, canvas: Canvas) -> None:
        """Draw the title and whether it is kept; large if it could not be written."""
        drawing, draft = self._drawing, self._drawing.draft
        unsaved = drawing.unsaved or draft.trouble
        if unsaved:
            canvas.fill(0, 0, canvas.width, 1, "mark")
            canvas.text(1, 0, f"NOT SAVED: {unsaved}", "mark", canvas.width - 2)
            return
        kept = "a sketch, not kept yet"
        if draft.name:
            kept = f"kept as {draft.name}" if draft.is_kept else f"{draft.name}: not kept"
        start = canvas.right(0, kept, "" if draft.is_kept else "warn", end=canvas.width - 1)
        canvas.text(1, 0, draft.sheet.pattern.title.upper(), "bold", start - 3)

    def _draw_outline(self, canvas: Canvas, high: int, pattern: Pattern) -> int:
        """Draw the outline, if the columns are known; return where the rows begin."""
        drawing = self._drawing
        if not drawing.map.known:
            return 1
        wide = 24 if canvas.width >= SPACIOUS[0] else 13 if canvas.width >= 72 else 9
        box = 1, TOP, wide - 1, high
        canvas.zone(*box, "turn_on")
        self._outline.draw(
            canvas,
            *box,
            drawing.worked,
            pattern,
            drawing.map.cross(drawing.cell),
            colours=drawing.colours,
            front_deg=360 * drawing.front / drawing.map.columns,
        )
        return wide + 1

    def _draw_strands(self, canvas: Canvas, x: int, high: int, pattern: Pattern) -> None:
        """Draw the strands as text and the core; on a spacious screen more below them."""
        drawing, room, y = self._drawing, canvas.width - x - 1, TOP
        if not drawing.map.known:
            for line in wrap(A_CHART, room)[:3]:
                canvas.text(x, y, line, "warn")
                y += 1
        spacious = canvas.width >= SPACIOUS[0] and canvas.height >= SPACIOUS[1]
        most = high // 2 if spacious else high - 4
        y = draw_strands(canvas, x, y, room, most, drawing.sheet, drawing.cell.strand) + 1
        for line in wrap(core_words(pattern), room)[:2]:
            canvas.text(x, y, line, "dim")
            y += 1
        if spacious:
            put_side(canvas, x, y + 1, room, TOP + high - y - 1, drawing, pattern)
