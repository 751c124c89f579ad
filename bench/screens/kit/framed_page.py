"""A page in a frame, and its title as large as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import put
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View

MARGIN = 3
"""Columns from the page's edge to its text."""
TOUCHED = {"ESC": "escape"}
"""The keys that a touch stands for, where a terminal calls them otherwise."""
ROOM_FOR_WORDS = 100
"""From so many columns on the words of a title may take a line each, twice as large."""


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


def draw_page_keys(canvas: Canvas, view: View, *keys: tuple[str, str]) -> None:
    """Draw keys and what they do at the foot of a page in a frame, the help behind them."""
    named = [(name, what, TOUCHED.get(name, name.lower())) for name, what in keys]
    put(canvas, canvas.height - 2, [*named, (view.keys.name("help"), "help", "")], x=MARGIN)


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


def title_lines(text: str, room: int, high: int, *, twice: bool) -> tuple[list[str], int] | None:
    """A title as lines of large letters, and how large: what fits into so many columns and lines.

    A title of parts may take a line for each, and so may its words. `twice`: it may be twice as
    large. None where even its words find no room.
    """
    parts = text.split(", ")
    tries = [([text], 2), (parts, 2)] if twice else []
    tries += [(wrap(text, room // 12), 2)] if twice and room >= ROOM_FOR_WORDS else []
    for lines, scale in (*tries, ([text], 1), (parts, 1), (wrap(text, room // 5), 1)):
        wide = max(width_of(line, scale) for line in lines)
        if wide <= room and len(lines) * (HEIGHT * scale + 1) <= high:
            return lines, scale
    return None


def draw_title(canvas: Canvas, y: int, text: str, style: str, below: int = 0) -> int:
    """Draw a title as large as fits above so many lines and the foot; return the line below it."""
    room = canvas.width - 2 * MARGIN
    high = canvas.height - 4 - y - below if below else canvas.height - 12
    found = title_lines(text, room, high, twice=canvas.height >= 34)
    if found is None:
        small = 1 if below else y
        canvas.text(MARGIN, small, text.upper(), style, room)
        return small + (1 if below else 2)
    lines, scale = found
    for line in lines:
        big(canvas, MARGIN, y, line, style, scale)
        y += HEIGHT * scale + 1
    return y
