"""What a wide screen shows besides: how many of each bead, time and price, every finding."""

from __future__ import annotations

from collections.abc import Iterator

from bench.craft.pattern import Pattern
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.panel import by_weight
from bench.screens.drawing.reckoning import told
from bench.screens.kit.canvas import Canvas, wrap


def put_side(
    canvas: Canvas, x: int, y: int, width: int, height: int, drawing: Drawing, pattern: Pattern
) -> None:
    """Write it, as much as finds room."""
    counts = drawing.sheet.counts()
    below = y + height
    for letter, count in sorted(counts.items()):
        if y < below:
            bead = pattern.beads[letter]
            canvas.text(x, y, letter, "bold")
            canvas.text(x + 1, y, "█", bead.colour)
            canvas.right(y, f"{count:,}", "", x + 10)
            canvas.text(x + 12, y, f"{bead.name} {bead.size} {bead.shape}", "", width - 12)
        y += 1
    y += 1
    for text, style in (*_piece(drawing), *_findings(drawing)):
        for line in wrap(text, width) or [""]:
            if y < below:
                canvas.text(x, y, line, style)
            y += 1


def _piece(drawing: Drawing) -> Iterator[tuple[str, str]]:
    """Time and price of a piece, and a line of room behind them."""
    worked = drawing.worked
    if worked is not None and worked.piece is not None:
        yield from told(worked.piece)
        yield ("", "")


def _findings(drawing: Drawing) -> Iterator[tuple[str, str]]:
    worked = drawing.worked
    if worked is None or worked.growth is None:
        return
    yield (f"length by {worked.growth.length_rests_on}", "dim")
    for finding in by_weight(worked.findings)[1:]:
        yield (finding.says, "warn")
