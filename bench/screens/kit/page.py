"""Parts of a page: its word, paragraphs, numbered steps, the caution, the next key."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from bench.screens.kit.action_keys import draw_keys
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View

CAUTION = "CAUTION  "


def paragraph(
    canvas: Canvas, y: int, text: str, style: str, below: int | None = None, x: int = 1
) -> int:
    """Write a text, the same blank margin on both sides, on the lines above `below` if given.

    Returns the line under it.
    """
    for line in wrap(text, canvas.width - 2 * x):
        if below is None or y < below:
            canvas.text(x, y, line, style)
        y += 1
    return y


def numbered(
    canvas: Canvas,
    y: int,
    steps: Sequence[str],
    below: int | None = None,
    x: int = 1,
    style: str = "",
) -> int:
    """Write numbered steps on the lines above `below`; return the line under them."""
    for number, step in enumerate(steps, 1):
        for index, line in enumerate(wrap(step, canvas.width - 2 * x - 3)):
            if below is None or y < below:
                canvas.text(x, y, str(number) if index == 0 else "", "bold")
                canvas.text(x + 3, y, line, style)
            y += 1
    return y


def caution_height(canvas: Canvas, text: str, x: int = 1) -> int:
    """How many lines a caution takes."""
    return len(_caution_lines(canvas, text, x))


def _caution_lines(canvas: Canvas, text: str, x: int) -> list[str]:
    return wrap(text, canvas.width - 2 * x - len(CAUTION))


def caution(canvas: Canvas, y: int, text: str, below: int | None = None, x: int = 1) -> int:
    """Write a caution on the lines above `below`; return the line under it."""
    for number, line in enumerate(_caution_lines(canvas, text, x)):
        if below is None or y < below:
            canvas.text(x, y, CAUTION.strip() if number == 0 else "", "mark")
            canvas.text(x + len(CAUTION), y, line)
        y += 1
    return y


def foot(canvas: Canvas, view: View, main: str) -> int:
    """Draw the keys, and over them what the next key does here, easy to find.

    Returns the line of the next key: what is above it is free.
    """
    line = draw_keys(canvas, view) - (1 if is_short(view) else 2)
    text = f" {view.keys.name('next')}  {main} "
    canvas.text(1, line, text, "picked")
    canvas.zone(1, line, len(text), 1, "next")
    return line


def is_short(view: View) -> bool:
    """Whether there is no room for words five lines high above a page's text."""
    return view.height < 23


def title(
    canvas: Canvas, view: View, text: str, style: str, beside: Sequence[str]
) -> tuple[int, int]:
    """Draw a page's word, five lines high where there is room, with lines beside it.

    Returns the column of those lines and the line below it all.
    """
    if is_short(view):
        x, y = canvas.text(1, 2, text, style) + 3, 3 + max(0, len(beside) - 1)
    else:
        room = view.width - 5 - max((cell_len(line) for line in beside), default=0)
        scale = 2 if view.height >= 38 and width_of(text, 2) <= room else 1
        x, y = big(canvas, 1, 2, text, style, scale) + 4, 3 + HEIGHT * scale
    for number, line in enumerate(beside):
        canvas.text(x, 2 + number, line, "bold" if number == 0 else "", view.width - x - 1)
    return x, y
