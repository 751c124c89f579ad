"""A page in a frame, and its title as large as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View

MARGIN = 3
"""Columns from the page's edge to its text."""


def framed(view: View, style: str, *, double: bool) -> Canvas:
    """An empty canvas in a frame."""
    canvas = Canvas(view.width, view.height)
    canvas.frame(0, 0, view.width, view.height, style, double)
    return canvas


def framed_page(view: View, heading: str) -> Canvas:
    """An empty page in a single frame, under its heading."""
    canvas = framed(view, "rule", double=False)
    canvas.text(MARGIN, 1, heading, "call")
    return canvas


def draw_choices(canvas: Canvas, y: int, choices: Sequence[tuple[str, str, str]], gap: int) -> int:
    """Draw choices by their keys, each a name and what it means; return the line below.

    gap: lines between them.
    """
    room = canvas.width - 2 * MARGIN
    wide = max((cell_len(name) for _, name, _ in choices), default=0) + 3
    for key, name, meaning in choices:
        lines = wrap(meaning, room - 3 - wide) or [""]
        canvas.zone(MARGIN, y, room, len(lines), key.lower())
        canvas.text(MARGIN, y, key, "key")
        canvas.text(MARGIN + 3, y, name, "bold", room - 3)
        for line in lines:
            canvas.text(MARGIN + 3 + wide, y, line)
            y += 1
        y += gap
    return y


def draw_title(canvas: Canvas, y: int, text: str, style: str, below: int = 0) -> int:
    """Draw a title as large as fits above so many lines and the foot; return the line below it."""
    room = canvas.width - 6
    lines = [text] if width_of(text) <= room else wrap(text, room // 5)
    large = y + len(lines) * (HEIGHT + 1) + below
    if below and large > canvas.height - 4:
        canvas.text(3, 1, text.upper(), style, room)
        return 2
    if max(width_of(line) for line in lines) > room or len(lines) * 6 > canvas.height - 12:
        canvas.text(3, y, text.upper(), style, room)
        return y + 2
    scale = 2 if len(lines) == 1 and width_of(text, 2) <= room and canvas.height >= 34 else 1
    if below and large + HEIGHT > canvas.height - 4:
        scale = 1
    for line in lines:
        big(canvas, 3, y, line, style, scale)
        y += HEIGHT * scale + 1
    return y
