"""The strands as text: each load as counts and letters, equal ones folded into one line."""

from __future__ import annotations

from collections.abc import Iterator

from bench.design.sheet import Sheet
from bench.screens.drawing.worked_out import load_in_words
from bench.screens.kit.canvas import Canvas, wrap


def strand_lines(sheet: Sheet, strand: int, width: int) -> Iterator[tuple[str, str]]:
    """Lines with their styles: the strands of a load, then the load itself, set in."""
    by_load: dict[str, list[int]] = {}
    for number, load in enumerate(sheet.loads, 1):
        by_load.setdefault(load, []).append(number)
    for load, strands in by_load.items():
        style = "call" if strand in strands else ""
        if len(strands) == sheet.strands:
            name = f"all {sheet.strands} strands"
        else:
            noun = "strand" if len(strands) == 1 else "strands"
            name = f"{noun} {' '.join(map(str, strands))}"
        yield name, style
        for line in wrap(load_in_words(load) or "no beads", width - 2):
            yield f"  {line}", ""


def draw_strands(
    canvas: Canvas, x: int, y: int, width: int, height: int, sheet: Sheet, strand: int
) -> int:
    """Draw the strands, as many lines as find room; return the line below them."""
    lines = list(strand_lines(sheet, strand, width))
    if len(lines) > height:
        lines = [*lines[: height - 1], (f"… {len(lines) - height + 1} lines more", "dim")]
    for text, style in lines:
        canvas.text(x, y, text, style, width)
        y += 1
    return y
