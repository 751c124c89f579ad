"""A page of named values: picked, turned up and down, typed, and kept together."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from rich.cells import cell_len

from bench.craft.text import Fault
from bench.journal.errors import JournalError
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, clauses, wrap
from bench.screens.kit.foot import Key, draw_foot
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import LEAVES, MOVES, draw_list, moved
from bench.screens.kit.text_entry import TextEntry
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.written_sheets import WrittenSheet, write_sheet

TURNS = {"left": -1, "minus": -1, "right": 1, "plus": 1}
NAMES = 22
"""Columns of a row's name."""
LONGEST = 200
KEEP_IT = "keep it"
"""What can be chosen when a form is left with something that is not kept."""


@dataclass(frozen=True)
class FormRow:
    """A named value. `turn` takes -1 or 1, `typed` a line; Fault and JournalError are said.

    `opens` goes to a page of its own; `asks` stands above the typed line; `starts` in it;
    `turns`: what a turn is, in a word, or in two with a comma: what left and right do.
    """

    name: str
    value: str
    turn: Callable[[int], None] | None = None
    typed: Callable[[str], None] | None = None
    opens: Callable[[], None] | None = None
    asks: str = ""
    starts: str = ""
    turns: str = ""


class FormScreen(BoardScreen):
    """Subclasses name the rows, what follows from them, and what keeping does."""

    heading = ""
    own_help: Lines = ()
    names = NAMES
    """Columns of the rows' names."""
    keeps = "keep"
    """What the K key does, in a word; empty where nothing is kept together."""

    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.picked = 0
        self.said = ""
        self.choices: tuple[str, ...] = ()
        """What is asked before it is kept: one of these, by its number."""
        self.below_cut = False
        """Whether what follows from the values finds no room on the screen."""

    @abstractmethod
    def rows(self) -> Sequence[FormRow]:
        """The rows as they are now."""

    @property
    def changed(self) -> bool:
        """Whether there is something to keep."""
        return False

    def below(self) -> Sequence[str]:
        """What follows from the values, a line each."""
        return ()

    def written(self) -> Sequence[WrittenSheet]:
        """The sheets that keys write as files."""
        return ()

    def keep(self, choice: str | None = None) -> None:
        """Keep the values; `choice`: what was chosen of what had to be asked."""

    def help_lines(self) -> Lines:
        """The keys of a form."""
        kept = (("K", f"{self.keeps} it all"),) if self.keeps else ()
        return (
            ("UP DOWN", "choose a line"),
            ("LEFT RIGHT", "less or more, the one before or after"),
            ("ENTER", "type it, or open its own page"),
            *self.own_help,
            *((one.key.upper(), f"{one.word}: writes {one.name}") for one in self.written()),
            ("V", "read all that stands below the lines"),
            *kept,
            ("L ESC", "back; what is not kept is asked once"),
        )

    def press(self, key: str, character: str | None) -> None:
        """Move, turn, type, keep or leave."""
        asked, self.said = self.choices, ""
        if asked and character and character in "123456789"[: len(asked)]:
            self.choices = ()
            chosen = asked[int(character) - 1]
            self._try(lambda: self.keep(None if chosen == KEEP_IT else chosen))
            return
        self.choices = ()
        rows = self.rows()
        self.picked = min(self.picked, len(rows) - 1)
        row = rows[self.picked]
        if key in MOVES:
            self.picked = moved(self.picked, MOVES[key], len(rows))
        elif key in TURNS:
            turn = row.turn
            if turn is not None:
                self._try(lambda: turn(TURNS[key]))
        elif key in {"enter", "space"}:
            self._open(row)
        elif key in {"v", "V"}:
            self._read_below()
        elif key in {"k", "K"} and self.keeps:
            self._try(self.keep)
        elif key in LEAVES:
            self._try(lambda: self.leave(again=bool(asked)))
        else:
            self._try(partial(self.other_key, key.lower()))

    def other_key(self, key: str) -> None:
        """Act on a key of this form alone: by itself, one that writes a sheet."""
        for sheet in self.written():
            if sheet.key == key:
                self.said = write_sheet(self.companion, sheet)

    def touch(self, action: str) -> None:
        """Pick a touched line; a second touch opens it."""
        kind, _, which = action.partition(" ")
        if kind == "row" and int(which) != self.picked:
            self.picked = int(which)
        else:
            self.take("enter" if kind == "row" else action, None)

    def _open(self, row: FormRow) -> None:
        if row.opens is not None:
            self._try(row.opens)
        elif row.typed is not None:
            self._ask(row, row.starts)

    def _ask(self, row: FormRow, starts: str, wrong: str = "") -> None:
        """Ask for a line, again with what was typed where that could not be taken."""
        asks = row.asks or "Type it; an empty line leaves it as it is."
        asks = f"{wrong}. {asks}" if wrong else asks
        entry = TextEntry(
            *(self.companion, row.name.upper(), asks, LONGEST), partial(self._typed, row)
        )
        entry.begin_with(starts)
        self.app.push_screen(entry)

    def _typed(self, row: FormRow, text: str) -> None:
        assert row.typed is not None
        try:
            row.typed(text)
        except Fault as fault:
            self._ask(row, text, str(fault).rstrip("."))
        except JournalError as error:
            self.said = str(error)

    def _read_below(self) -> None:
        """Show what stands below the rows on a screen of its own."""

        def lines(width: int) -> list[str]:
            return in_columns(self.below(), width)

        self.app.push_screen(SheetScreen(self.companion, self.heading, lines))

    def _try(self, act: Callable[[], None]) -> None:
        try:
            act()
        except (Fault, JournalError) as error:
            self.said = str(error)

    def leave(self, *, again: bool) -> None:
        """Go back; what is not kept is asked for once. `again`: the second time."""
        if self.changed and not again:
            self.choices = (KEEP_IT,)
            self.said = "Not kept yet: 1 keeps it, the same key again leaves it."
            return
        self.app.pop_screen()

    def keys(self) -> Sequence[Key]:
        """The keys of the foot."""
        row = self.rows()[self.picked]
        found: list[Key] = []
        if row.turn is not None:
            turns = f"{row.turns} less, more" if row.turns else "less, more"
            turns = row.turns if "," in row.turns else turns
            found.append(("LEFT RIGHT", turns, ""))
        if row.opens is not None or row.typed is not None:
            found.append(("ENTER", "open" if row.opens is not None else "type", "enter"))
        found += [(one.key.upper(), one.word, one.key) for one in self.written()]
        if self.below_cut:
            found.append(("V", "read all", "v"))
        if self.keeps:
            found.append(("K", self.keeps, "k"))
        return (*found, ("L", "back", "l"))

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the rows, and below them what follows."""
        canvas = Canvas(width, height)
        canvas.text(1, 0, self.heading.upper(), "bold", width - 2)
        canvas.rule(1)
        rows = self.rows()
        names = min(self.names, width * 3 // 5)
        self.picked = min(self.picked, len(rows) - 1)
        lines = in_columns(self.below(), width - 3)
        room = max(4, min(len(rows), height - 7 - min(len(lines), height // 3)))

        def draw_row(number: int, y: int, style: str) -> None:
            row = rows[number]
            canvas.text(3, y, row.name, style or "dim", names)
            turns = row.turn is not None and number == self.picked
            x = 4 + names
            value = f"◀ {row.value} ▶" if turns else row.value
            canvas.text(x, y, clauses(value, width - x - 1), style, width - x - 1)

        shown = draw_list(canvas, 2, room, len(rows), self.picked, draw_row)
        y = 3 + len(shown)
        canvas.rule(y - 1)
        if len(shown) < len(rows):
            said = f" {shown.start + 1} to {shown.stop} of {len(rows)} "
            canvas.right(y - 1, said, "dim", width - 1)
        free = max(0, height - 3 - y)
        self.below_cut = len(lines) > free
        if self.below_cut and free:
            more = len(lines) - free + 1
            lines = [*lines[: free - 1], f"… {more} more lines: V reads all"]
        for line in lines[:free]:
            canvas.text(1, y, line, "warn" if line.startswith(("!", "OFF:")) else "", width - 2)
            y += 1
        draw_foot(canvas, self.keys(), self.said, self.named)
        return canvas


def in_columns(lines: Sequence[str], width: int) -> list[str]:
    """Lines of at most so many columns; those that find room keep their blanks."""
    found: list[str] = []
    for line in lines:
        found += [line] if cell_len(line) <= width else wrap(line, width)
    return found
