"""The card of a pattern: what can be chosen before a piece is started, and what it comes to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from textual.geometry import Size

from bench.craft.words import plural
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import WIDE, draw_foot
from bench.screens.kit.list_screen import ListMode
from bench.screens.kit.picking import scrolled, turned

if TYPE_CHECKING:
    from bench.screens.kit.hanging_braid import HangingBraid
    from bench.screens.kit.help_page import Lines

CARD_HELP: Lines = (
    ("ENTER", "start a piece as the card shows it, and go to the bench"),
    ("UP DOWN", "to the size, the colourway, or what to begin with"),
    ("LEFT RIGHT", "change that line; beads, length and time follow"),
    ("", "begin with loading: led through every thread; setting up: the threads are loaded;"),
    ("", "braiding: the stand is ready"),
    ("PAGE DOWN", "the rest of the text, if it is longer than the screen; PAGE UP back"),
    ("ESC", "back to the list; nothing is started"),
)
PAGE = 3
"""Lines of the text that a page key goes on by."""


@dataclass
class CardChoice:
    """One line of a card that can be changed: its name and what can be chosen."""

    name: str
    options: Sequence[str]
    at: int = 0

    @property
    def value(self) -> str:
        """What is chosen now."""
        return self.options[self.at]


@dataclass
class PatternCard(ListMode):
    """One pattern before it is started."""

    fill: Callable[[PatternCard], None]
    """Works the facts out for what is chosen."""
    start: Callable[[PatternCard], None]
    leave: Callable[[], None]
    title: str
    choices: list[CardChoice]
    picked: int = 0
    ref: str = ""
    facts: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    braids: Sequence[HangingBraid] = ()
    """The pattern in each of its sizes, as it hangs, in the colourway that is chosen."""
    chosen: int = 0
    """Which of them is the size that is chosen."""
    colours: bool = False
    """Whether the terminal shows colours."""
    notes: Sequence[str] = ()
    """What was kept with earlier pieces of the pattern, the latest first."""
    said: str = ""
    first: int = 0
    """The first line of the facts and warnings that is in sight."""

    help = CARD_HELP

    def clear(self) -> None:
        """Keep what is said: it belongs to what is chosen."""

    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for."""
        if action in {"back", "close"}:
            self.leave()
        elif action == "open":
            self.leave()
            self.start(self)
        elif action in {"up", "down"}:
            self.picked = (self.picked + (1 if action == "down" else -1)) % len(self.choices)
        elif action in {"left", "right"}:
            choice = self.choices[self.picked]
            choice.at = turned(choice.at, action, len(choice.options))
            self.fill(self)
        else:
            lines, (_, room) = self._lines(size.width), self._space(size)
            self.first = scrolled(self.first, action, len(lines), room, PAGE)

    def touch(self, kind: str, which: str, size: Size) -> None:
        """Change the line that is touched."""
        self.picked = int(which)
        self.act("right", size)

    def _lines(self, width: int) -> list[tuple[str, str]]:
        """The facts and warnings in lines, each with its style."""
        room = width - 4 - self._side(width)
        lines = [(line, "") for fact in self.facts for line in wrap(fact, room)]
        lines += [("", "")] if self.facts and self.warnings else []
        lines += [(line, "warn") for text in self.warnings for line in wrap(text, room)]
        if self.notes:
            lines += [("", ""), ("notes kept with its pieces:", "bold")]
        return lines + [(line, "") for text in self.notes for line in wrap(text, room)]

    def _side(self, width: int) -> int:
        """Columns for the braids at the right: more where there are more."""
        return 24 + max(0, width - 80) // 2 if self.braids and width >= WIDE else 0

    def _space(self, size: Size) -> tuple[int, int]:
        """The line below the choices, and how many lines of text find room from there."""
        y = (3 if size.height >= 23 else 2) + len(self.choices) + 1
        space = size.height - 3 - y
        return y, space - (len(self._lines(size.width)) > space)

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the choices, what the piece will be, and what to know."""
        canvas = Canvas(width, height)
        canvas.text(1, 0, self.title.upper(), "bold")
        canvas.rule(1)
        y, room = self._space(Size(width, height))
        top = y - len(self.choices) - 1
        for number, choice in enumerate(self.choices):
            here = number == self.picked
            canvas.text(1, top + number, "▶" if here else " ", "call")
            canvas.text(3, top + number, choice.name, "bold" if here else "")
            text = f"◀ {choice.value} ▶" if len(choice.options) > 1 else f"  {choice.value}"
            end = canvas.text(16, top + number, text, "picked" if here else "")
            others = [*choice.options[choice.at + 1 :], *choice.options[: choice.at]]
            if others:
                said = f"or {', '.join(others)}"
                free = width - end - 2 - self._side(width)
                canvas.text(end + 1, top + number, said if len(said) <= free else "…")
            canvas.zone(0, top + number, width // 2, 1, f"choice {number}")
        lines = self._lines(width)
        first = scrolled(self.first, "", len(lines), room)
        for text, style in lines[first : first + room]:
            canvas.text(3, y, text, style)
            y += 1
        if side := self._side(width):
            from bench.screens.kit.hanging_braid import draw_hanging

            box = width - side + 1, 2, side - 2, height - 5
            draw_hanging(canvas, *box, self.braids, self.chosen, colours=self.colours)
        if len(lines) > room:
            kept = f"{plural(len(self.notes), 'note')} and " if self.notes else ""
            pages = f"{named('PAGE UP')} and {named('PAGE DOWN')}"
            canvas.text(3, y, f"{kept}{len(lines)} lines: {pages}", "bold")
        keys = (
            ("ENTER", "start", "open"),
            ("UP DOWN", "line", ""),
            ("LEFT RIGHT", "change", "right"),
            ("ESC", "back", "back"),
        )
        draw_foot(canvas, keys, self.said, named)
        return canvas
