"""The first screen's keys: Enter opens a pattern's card, Enter again starts a piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.lists.home_view import Card, Home, Row, draw_card, draw_home

if TYPE_CHECKING:
    from bench.screens.kit.help_page import Lines
    from bench.screens.lists.companion import ListsCompanion
HOME_HELP: Lines = (
    ("ENTER", "on a piece: go on where you left it, on the same cross"),
    ("", "on a pattern: its card; ENTER again starts a piece, nothing to type"),
    ("", "on a commission: its lots, what is done and what is still to make"),
    ("G", "on a piece: give it up, if it cannot be finished; asks once more first"),
    ("T", "your times: what a piece takes you, pattern by pattern"),
    ("UP DOWN", "choose a line; PAGE UP and PAGE DOWN go further"),
    ("Q", "close the program; nothing is lost, whenever you do it"),
)
CARD_HELP: Lines = (
    ("ENTER", "start a piece as the card shows it, and go to the bench"),
    ("UP DOWN", "to the size, the colourway, or what to begin with"),
    ("LEFT RIGHT", "change that line; beads, length and time follow"),
    ("", "begin with loading: led through every thread; setting up: the threads are loaded;"),
    ("", "braiding: the stand is ready"),
    ("PAGE DOWN", "the rest of the text, if it is longer than the screen; PAGE UP back"),
    ("ESC", "back to the list; nothing is started"),
)

HELD_S = 0.5
"""A key that comes again sooner was held down, not meant."""


class HomeScreen(BoardScreen):
    """Lists pieces in the making, patterns and commissions."""

    key_set = "the list"

    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.home = Home()
        self.card: Card | None = None
        self.leaving = False
        self._asked_at = 0.0

    def told(self, said: str) -> None:
        """Say how the piece was left."""
        self.home.said = said

    def on_screen_resume(self) -> None:
        """Read the list anew: a piece may have changed."""
        if not self.home.loading:
            self.companion.fill_home()

    def times_read(self) -> None:
        """Show the times in the list."""
        self.companion.fill_home()

    def touch(self, action: str) -> None:
        """Pick the line that is touched; on the picked line, open it."""
        kind, _, number = action.partition(" ")
        if kind == "row" and number.isdigit():
            if int(number) == self.home.picked:
                self.press("enter", None)
            else:
                self.home.picked = int(number)
        elif kind == "choice" and self.card is not None:
            self.card.picked = int(number)
            self.press("right", None)
        else:
            self.take(action.split()[0], None)

    def _leave(self) -> None:
        """Close the program; with something not saved only at the second press."""
        waiting = self.companion.guard.waiting
        if waiting and not self.leaving:
            self.leaving = True
            self.home.said = f"Not saved: {waiting}. Q again closes, and keeps it in a file."
        else:
            self.app.exit()

    def help_lines(self) -> Lines:
        """The keys of the list, or of the card."""
        return HOME_HELP if self.card is None else CARD_HELP

    def take(self, key: str, character: str | None) -> None:
        """Act on a key; one that asks for help, too, keeps a piece that is asked about."""
        if key == "h":
            self.home.asked = self.home.said = ""
        super().take(key, character)

    def press(self, key: str, character: str | None) -> None:
        """Act on a key."""
        key = key.lower()
        self.leaving = self.leaving and key == "q"
        asked, self.home.asked = self.home.asked, ""
        self.home.said = self.home.news = ""
        if self.card is not None:
            self._press_card(self.card, key)
        elif key == "q":
            self._leave()
        elif key == "t":
            self.companion.show_times()
        elif key == "g" and self.home.on_piece:
            self._give_up(self.home.rows[self.home.picked], asked)
        elif self.home.rows:
            self._press_list(key)

    def _give_up(self, row: Row, asked: str) -> None:
        """Give a piece up at the second press; one that comes with the first, as held, asks on."""
        if self.companion.journal is None or self.companion.looking_on:
            self.home.said = self.companion.looking_on or "There is no journal to write to."
            return
        assert self.companion.clock is not None
        now, before = self.companion.clock.now().mono, self._asked_at
        self._asked_at = now
        if asked == row.ref and now - before >= HELD_S:
            self.companion.give_up(row.ref)
            self.home.said = self.home.said or f"{row.title} is given up."
            return
        self.home.asked = row.ref
        key = self.named("G")
        self.home.said = f"Give up {row.title}? {key} again does it; any other key keeps it."

    def _press_list(self, key: str) -> None:
        rows = self.home.rows
        page = max(1, self.size.height - 8)
        steps = {"up": -1, "down": 1, "k": -1, "j": 1, "pageup": -page, "pagedown": page}
        if key in steps:
            self.home.picked = max(0, min(len(rows) - 1, self.home.picked + steps[key]))
            self.companion.read_rows()
        elif key == "home":
            self.home.picked = 0
        elif key == "end":
            self.home.picked = len(rows) - 1
            self.companion.read_rows()
        elif key in {"enter", "space"}:
            self.companion.open_row(rows[self.home.picked])

    def _press_card(self, card: Card, key: str) -> None:
        if key in {"escape", "backspace", "q"}:
            self.card = None
        elif key in {"up", "down"}:
            card.picked = (card.picked + (1 if key == "down" else -1)) % len(card.choices)
        elif key in {"pageup", "pagedown"}:
            card.scroll += 3 if key == "pagedown" else -3
        elif key in {"left", "right"}:
            card.choices[card.picked].turn(1 if key == "right" else -1)
            self.companion.fill_card(card)
        elif key in {"enter", "space"}:
            self.card = None
            self.companion.start_piece(card)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the list or the card."""
        if self.card is not None:
            return draw_card(self.card, width, height, self.named)
        return draw_home(self.home, width, height, self.named)
