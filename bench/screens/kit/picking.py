"""Lists with a picked line, and texts that are longer than the screen: what of them is in sight."""

from __future__ import annotations

from collections.abc import Callable

from bench.screens.kit.canvas import Canvas

PAGE = 10
"""Lines that a page key goes on by, where the screen does not say otherwise."""

MOVES = {"up": "up", "down": "down", "pageup": "page_up", "pagedown": "page_down",
         "home": "home", "end": "end"}  # fmt: skip
"""What moves in a list or a text, by the keys that no setting changes."""
LEAVES = ("escape", "backspace", "l", "L")
"""Keys that go back from a page."""


def window(count: int, picked: int, room: int) -> range:
    """The lines in sight of so many: as many as find room, the picked one in their middle."""
    first = max(0, min(picked - room // 2, count - room))
    return range(first, min(first + room, count))


def moved(picked: int, action: str, count: int, page: int = PAGE) -> int:
    """The line that is picked after an action; the same one where the action does not move."""
    if action in {"home", "end"}:
        return 0 if action == "home" else max(0, count - 1)
    return max(0, min(count - 1, picked + _step(action, page)))


def scrolled(first: int, action: str, count: int, room: int, page: int = PAGE) -> int:
    """The first line in sight of a text after an action; the last page is never left."""
    if action in {"home", "end"}:
        return 0 if action == "home" else max(0, count - room)
    return max(0, min(first + _step(action, page), count - room))


def turned(at: int, action: str, count: int) -> int:
    """What is chosen of so many after left or right; past the last comes the first."""
    return (at + {"left": -1, "right": 1}.get(action, 0)) % count


def _step(action: str, page: int) -> int:
    return {"up": -1, "down": 1, "page_up": -page, "page_down": page}.get(action, 0)


def draw_picked(canvas: Canvas, y: int, number: int, picked: int) -> str:
    """Draw the ground of a line of a list, which can be touched; return the style of its texts."""
    here = number == picked
    if here:
        canvas.fill(0, y, canvas.width, 1, "picked")
        canvas.text(1, y, "▶", "picked")
    canvas.zone(0, y, canvas.width, 1, f"row {number}")
    return "picked" if here else ""


def draw_list(
    canvas: Canvas,
    y: int,
    room: int,
    count: int,
    picked: int,
    draw_line: Callable[[int, int, str], None],
) -> range:
    """Draw the lines in sight from y on; draw_line gets each one's number, line and style."""
    shown = window(count, picked, room)
    for line, number in enumerate(shown, y):
        draw_line(number, line, draw_picked(canvas, line, number, picked))
    return shown
