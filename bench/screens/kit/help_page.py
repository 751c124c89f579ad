"""The help over a screen: its keys, and what they do there."""

from __future__ import annotations

from bench.documents.actions import ACTIONS
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.framed_page import draw_title, framed
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View

Lines = tuple[tuple[str, str], ...]
"""Keys and what they do: an action of the bench by its id, or keys as a foot writes them."""


def named(lines: Lines, keys: Keys) -> list[tuple[str, str]]:
    """Help with the keys as the maker has set them."""
    return [(keys.name(k) if k in ACTIONS else keys.foot(k), what) for k, what in lines]


def draw_help(view: View, lines: list[tuple[str, str]]) -> Canvas:
    """Draw the keys and what they do."""
    canvas = framed(view, "rule", double=False)
    y = draw_title(canvas, 1, "HELP", "call") if canvas.height >= 23 else 1
    width = max((len(key) for key, _ in lines), default=0)
    for key, what in lines:
        for number, part in enumerate(wrap(what, canvas.width - width - 7)):
            if number == 0:
                canvas.text(3, y, key, "key")
            canvas.text(5 + width, y, part)
            y += 1
    canvas.text(3, canvas.height - (2 if y < canvas.height - 1 else 1), "any key: back", "bold")
    canvas.zone(0, 0, canvas.width, canvas.height, "help")
    return canvas
