"""The keys of the bench at the foot of a page: what each action does there, by the maker's keys."""

from __future__ import annotations

from collections.abc import Mapping

from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import Key, for_fingers, in_lines, put
from bench.screens.kit.view import View

SHORT = {"next": "cross", "mark": "done"}
Labels = Mapping[str, str]
"""What keys do here, by action, where it is not their usual work."""


def key_lines(
    view: View, actions: tuple[str, ...], width: int, most: int, labels: Labels | None = None
) -> list[list[Key]]:
    """The keys in at most so many lines: with what they do in words, or else in one word."""
    said = labels or {}
    keys = [
        (view.keys.name(action), said.get(action) or view.keys.label(action), action)
        for action in actions
    ]
    lines = in_lines(keys, width)
    if len(lines) > most:
        lines = in_lines(
            [
                (name, said.get(action) or SHORT.get(action, action), action)
                for name, _, action in keys
            ],
            width,
        )
    return lines[:most]


def draw_keys(
    canvas: Canvas, view: View, actions: tuple[str, ...], labels: Labels | None = None
) -> int:
    """Draw the keys at the foot, touchable, and return the first line that they take."""
    high = 2 if for_fingers(view.width, view.height) else 1
    short = canvas.height < 23
    lines = key_lines(view, actions, canvas.width, 2 if short else 4, labels)
    top = canvas.height - high * len(lines) - (0 if short or high > 1 or len(lines) > 1 else 1)
    for number, line in enumerate(lines, 1):
        put(canvas, top + number * high - 1, line, high)
    return top


def draw_main_key(
    canvas: Canvas,
    view: View,
    main: str,
    actions: tuple[str, ...],
    labels: Labels | None = None,
) -> int:
    """Draw the keys, and above them the main one large; return the main one's line."""
    inner = Canvas(canvas.width - 4, canvas.height - 1)
    top = draw_keys(inner, view, actions, labels)
    for y, row in enumerate(inner.rows):
        for x, (ch, style) in enumerate(row):
            if ch != " " or style:
                canvas.text(x + 2, y, ch, style)
    for zone in inner.zones:
        canvas.zone(zone.x + 2, zone.y, zone.width, zone.height, zone.action)
    y = min(canvas.height - 4, top - (2 if for_fingers(view.width, view.height) else 1))
    if main:
        canvas.centre(y, f" {main} ", "picked")
        canvas.zone(1, y - 1, canvas.width - 2, 3 if y < canvas.height - 4 else 2, actions[0])
    return y
