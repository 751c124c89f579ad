"""Two plain lists: the maker's times by pattern, and the lots of a commission."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from .board_screen import BoardScreen
from .canvas import Canvas

HEADER = 4


@dataclass
class Table:
    """A titled list: each line has cells; widths are the columns', the last takes the rest."""

    title: str
    heads: tuple[str, ...]
    widths: tuple[int, ...]
    lines: Sequence[tuple[str, ...]]
    foot: str
    notes: list[str] = field(default_factory=list)
    picked: int = 0


def draw_table(table: Table, width: int, height: int) -> Canvas:
    """Draw a table; the picked line is in sight."""
    canvas = Canvas(width, height)
    canvas.text(1, 0, table.title.upper(), "bold", width - 2)
    canvas.rule(1)
    _cells(canvas, 2, table.heads, table.widths, "dim")
    room = max(1, height - HEADER - 3 - len(table.notes))
    first = max(0, min(table.picked - room // 2, len(table.lines) - room))
    for y, line in enumerate(table.lines[first : first + room], HEADER - 1):
        here = first + y - HEADER + 1 == table.picked
        if here:
            canvas.fill(0, y, width, 1, "picked")
        _cells(canvas, y, line, table.widths, "picked" if here else "")
        canvas.zone(0, y, width, 1, f"row {first + y - HEADER + 1}")
    if not table.lines:
        canvas.text(1, HEADER - 1, "nothing yet")
    for number, note in enumerate(table.notes):
        canvas.text(1, height - 2 - len(table.notes) + number, note, "warn", width - 2)
    canvas.text(1, height - 1, table.foot, "bold", width - 2)
    return canvas


def _cells(
    canvas: Canvas, y: int, cells: tuple[str, ...], widths: tuple[int, ...], style: str
) -> None:
    x = 1
    for cell, wide in zip(cells, (*widths, canvas.width), strict=False):
        canvas.text(x, y, cell, style, min(wide - 1, canvas.width - x - 1))
        x += wide


class TableScreen(BoardScreen):
    """Shows a table; Enter does something with the picked line, Escape goes back."""

    def __init__(self, table: Table, enter: Callable[[int], str | None] | None = None) -> None:
        super().__init__()
        self.table = table
        self._enter = enter

    def press(self, key: str, character: str | None) -> None:
        """Move, act on the line, or go back."""
        table = self.table
        steps = {"up": -1, "down": 1, "k": -1, "j": 1, "pageup": -10, "pagedown": 10}
        if key in steps and table.lines:
            table.picked = max(0, min(len(table.lines) - 1, table.picked + steps[key]))
        elif key in {"escape", "backspace", "l", "q", "t"}:
            self.app.pop_screen()
        elif key == "enter" and self._enter is not None and table.lines:
            said = self._enter(table.picked)
            table.notes = [said] if said else []

    def touch(self, action: str) -> None:
        """Pick the touched line; on the picked one act as Enter does."""
        number = int(action.split()[1])
        if number == self.table.picked:
            self.press("enter", None)
        self.table.picked = number

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the table."""
        return draw_table(self.table, width, height)
