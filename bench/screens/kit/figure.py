"""A figure that is asked for: what can be typed or pasted into it, and how it is drawn."""

from __future__ import annotations

from bench.documents.key_names import DIGITS
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.large_letters import HEIGHT, big

MOST_CHARACTERS = 6


def put_on(figure: str, more: str, *, whole: bool = False) -> str:
    """A figure with more put on it, typed or pasted: digits, and one point unless it is whole."""
    for character in more.strip().replace(",", "."):
        if len(figure) >= MOST_CHARACTERS or (character == "." and whole):
            break
        if character in DIGITS or (character == "." and "." not in figure):
            figure += character
    return figure


def draw_figure(canvas: Canvas, y: int, shown: str, unit: str) -> int:
    """Draw a figure five lines high, with its unit beside it; return the line below."""
    end = big(canvas, 3, y, shown, "bead")
    canvas.text(end + 3, y + HEIGHT - 1, unit, "bold")
    return y + HEIGHT
