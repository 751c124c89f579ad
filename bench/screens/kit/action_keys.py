"""The keys of the bench at the foot of a page: what each action does there, by the maker's keys."""

from __future__ import annotations

from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import FootKey
from bench.screens.kit.foot import Key, for_fingers, in_lines, put
from bench.screens.kit.view import View

SHORT = {"next": "cross", "mark": "done"}


def key_lines(view: View, width: int, most: int) -> list[list[Key]]:
    """The keys in at most so many lines: with what they do in words, or else in one word."""
    names = [(view.keys.name(key.action), key) for key in view.foot]

    def touched(key: FootKey) -> str:
        return key.action if view.keys.knows(key.action) else key.action.lower()

    lines = in_lines(
        [(name, k.word or view.keys.label(k.action), touched(k)) for name, k in names], width
    )
    if len(lines) > most:
        short = [k.short or k.word or SHORT.get(k.action, k.action) for _, k in names]
        named = zip(names, short, strict=True)
        lines = in_lines([(name, word, touched(k)) for (name, k), word in named], width)
    return lines[:most]


def draw_keys(canvas: Canvas, view: View) -> int:
    """Draw the keys at the foot, touchable, and return the first line that they take."""
    high = 2 if for_fingers(view.width, view.height) else 1
    short = canvas.height < 23
    lines = key_lines(view, canvas.width, 2 if short else 4)
    top = canvas.height - high * len(lines) - (0 if short or high > 1 or len(lines) > 1 else 1)
    for number, line in enumerate(lines, 1):
        put(canvas, top + number * high - 1, line, high)
    return top


def draw_main_key(canvas: Canvas, view: View, main: str) -> int:
    """Draw the keys, and above them the first one large, if it has words; return its line."""
    inner = Canvas(canvas.width - 4, canvas.height - 1)
    top = draw_keys(inner, view)
    for y, row in enumerate(inner.rows):
        for x, (ch, style) in enumerate(row):
            if ch != " " or style:
                canvas.text(x + 2, y, ch, style)
    for zone in inner.zones:
        canvas.zone(zone.x + 2, zone.y, zone.width, zone.height, zone.action)
    y = min(canvas.height - 4, top - (2 if for_fingers(view.width, view.height) else 1))
    if main:
        canvas.centre(y, f" {main} ", "picked")
        high = 3 if y < canvas.height - 4 else 2
        canvas.zone(1, y - 1, canvas.width - 2, high, view.foot[0].action)
    return y
