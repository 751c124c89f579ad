"""A sheet to read on the screen, line by line, with keys that write it as files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from bench.craft.text import Fault
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import Key, draw_foot
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import LEAVES, MOVES, scrolled
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.written_sheets import WrittenSheet, write_sheet

WIDEST = 100
"""Columns beyond which lines are hard to follow."""


class SheetScreen(BoardScreen):
    """Shows lines and scrolls through them.

    `lines` makes them for a width; `more`: keys besides those of `written`, with what they do.
    """

    companion: ListsCompanion

    def __init__(
        self,
        companion: ListsCompanion,
        heading: str,
        lines: Callable[[int], Sequence[str]],
        written: Sequence[WrittenSheet] = (),
        more: Sequence[tuple[str, str, Callable[[], None]]] = (),
    ) -> None:
        super().__init__(companion)
        self.heading, self.lines = heading, lines
        self.written, self.more = written, more
        self.first = 0
        self.said = ""

    def help_lines(self) -> Lines:
        """The keys of the sheet."""
        return (
            ("UP DOWN", "scroll; PAGE UP and PAGE DOWN go further"),
            *((one.key.upper(), f"{one.word}: writes {one.name}") for one in self.written),
            *((key.upper(), word) for key, word, _ in self.more),
            ("L ESC", "back"),
        )

    def press(self, key: str, character: str | None) -> None:
        """Scroll, write a file, or go back."""
        self.said = ""
        deeds: dict[str, Callable[[], None]] = {
            one.key: partial(self._write, one) for one in self.written
        }
        deeds |= {name: deed for name, _, deed in self.more}
        if key in MOVES:
            lines, room = self.lines(sheet_width(self.size.width)), self.size.height - 6
            self.first = scrolled(self.first, MOVES[key], len(lines), room, max(1, room - 1))
        elif key.lower() in deeds:
            try:
                deeds[key.lower()]()
            except Fault as fault:
                self.said = str(fault)
        elif key in LEAVES:
            self.app.pop_screen()

    def _write(self, sheet: WrittenSheet) -> None:
        self.said = write_sheet(self.companion, sheet)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the lines in sight, and how many are below."""
        canvas = Canvas(width, height)
        canvas.text(1, 0, self.heading.upper(), "bold", width - 2)
        canvas.rule(1)
        draw_lines(canvas, 2, height - 5, self.lines(sheet_width(width)), self.first)
        keys: list[Key] = [(one.key.upper(), one.word, one.key) for one in self.written]
        keys += [(key.upper(), word, key) for key, word, _ in self.more]
        keys += [("UP DOWN", "scroll", ""), ("L", "back", "l")]
        draw_foot(canvas, keys, self.said, self.named)
        return canvas


def sheet_width(width: int) -> int:
    """The columns of a sheet on a screen of so many."""
    return min(WIDEST, width - 2)


def draw_lines(canvas: Canvas, y: int, room: int, lines: Sequence[str], first: int) -> None:
    """Draw the lines of a sheet from the first in sight on; its heads stand out."""
    if len(lines) > room:
        room -= 1
    first = scrolled(first, "", len(lines), room)
    for at, line in enumerate(lines[first : first + room], y):
        head = line.split("  ", 1)[0]
        canvas.text(1, at, line, "warn" if line.startswith("!") else "", canvas.width - 2)
        if head.strip() and head.isupper() and not line.startswith("!"):
            canvas.text(1, at, head, "bold", canvas.width - 2)
    below = len(lines) - room - first
    if below > 0:
        canvas.right(y + room, f" {below} more below: DOWN ", "bold", canvas.width - 1)
