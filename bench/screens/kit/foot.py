"""The foot of a screen: its keys by name, each a part that can be touched."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.cells import cell_len

from bench.screens.kit.canvas import Canvas, wrap

Key = tuple[str, str, str]
"""A key's name, what it does, and the action that a touch stands for ('' for none)."""
TALL, WIDE = 30, 76


def for_fingers(width: int, height: int) -> bool:
    """Whether a screen has the shape of a tablet held upright: high, and not wide.

    Then every key gets two lines, so that a finger hits it.
    """
    return height >= TALL and width < WIDE


def in_lines(keys: Sequence[Key], width: int) -> list[list[Key]]:
    """Break keys into as many lines as they need."""
    lines: list[list[Key]] = [[]]
    x = 1
    for key in keys:
        need = cell_len(key[0]) + cell_len(key[1]) + 1
        if x + need > width - 1 and lines[-1]:
            lines.append([])
            x = 1
        lines[-1].append(key)
        x += need + 3
    return lines


def put(canvas: Canvas, y: int, keys: Sequence[Key], high: int = 1, x: int = 1) -> None:
    """Draw one line of keys; each can be touched over so many lines, this the last of them."""
    for name, what, action in keys:
        end = canvas.text(x, y, name, "key")
        end = canvas.text(end + 1, y, what)
        if action:
            canvas.zone(x, y - high + 1, end - x, high, action)
        x = end + 3


def say(canvas: Canvas, said: str, style: str = "") -> None:
    """Write what is to be said over the keys, with a second line in place of the rule if needed."""
    lines = wrap(said, canvas.width - 2)[:2]
    if len(lines) > 1:
        canvas.text(0, canvas.height - 3, " " * canvas.width)
    for y, line in enumerate(lines, canvas.height - 1 - len(lines)):
        canvas.text(1, y, line, style, canvas.width - 2)


def draw_foot(
    canvas: Canvas,
    keys: Sequence[Key],
    said: str,
    named: Callable[[str], str] = str,
    *,
    typing: bool = False,
) -> None:
    """Draw what was said, and the keys of a list or page, by the names that the maker has set.

    Before the last one stands the help, unless letters are typed. Where they find no room, those
    that only move about are left out, the last one first; then others, but for the first and the
    last.
    """
    height = canvas.height
    if not typing:
        keys = [*keys[:-1], ("H", "help", "help"), keys[-1]]
    keys = [(named(name), what, touch) for name, what, touch in keys]
    spare = [*keys[1:-2], *(entry for entry in keys if not entry[2])]
    while (
        spare
        and sum(cell_len(key) + cell_len(what) + 4 for key, what, _ in keys) - 2 > canvas.width
    ):
        left_out = spare.pop()
        keys = [entry for entry in keys if entry != left_out]
    canvas.rule(height - 3)
    if said:
        say(canvas, said, "warn")
    put(canvas, height - 1, keys, 2 if for_fingers(canvas.width, height) else 1)
