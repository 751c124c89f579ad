"""The first screen's keys: Enter opens a pattern's card, Enter again starts a piece."""

from __future__ import annotations

from .board_screen import BoardScreen
from .canvas import Canvas
from .home_view import Card, Home, draw_card, draw_home
from .moments_help import HOME_HELP


class HomeScreen(BoardScreen):
    """Lists pieces in the making, patterns and commissions."""

    mode = "the list"

    def __init__(self) -> None:
        super().__init__()
        self.home = Home()
        self.card: Card | None = None
        self.help = False
        self.leaving = False

    def on_screen_resume(self) -> None:
        """Read the list anew: a piece may have changed."""
        if not self.home.loading:
            self.app.fill_home()

    def times_read(self) -> None:
        """Show the times in the list."""
        self.app.fill_home()

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
            self.press(action.split()[0], None)

    def _leave(self) -> None:
        """Close the program; with something not saved only at the second press."""
        waiting = self.app.guard.waiting
        if waiting and not self.leaving:
            self.leaving = True
            self.home.said = f"Not saved: {waiting}. Q again closes, and keeps it in a file."
        else:
            self.app.exit()

    def press(self, key: str, character: str | None) -> None:
        """Act on a key."""
        key = key.lower()
        self.leaving = self.leaving and key == "q"
        self.home.said = self.home.news = ""
        if self.help:
            self.help = False
        elif self.card is not None:
            self._press_card(self.card, key)
        elif key == "q":
            self._leave()
        elif key == "h":
            self.help = True
        elif key == "t":
            self.app.show_times()
        elif self.home.rows:
            self._press_list(key)

    def _press_list(self, key: str) -> None:
        rows = self.home.rows
        page = max(1, self.size.height - 8)
        steps = {"up": -1, "down": 1, "k": -1, "j": 1, "pageup": -page, "pagedown": page}
        if key in steps:
            self.home.picked = max(0, min(len(rows) - 1, self.home.picked + steps[key]))
            self.app.read_rows()
        elif key == "home":
            self.home.picked = 0
        elif key == "end":
            self.home.picked = len(rows) - 1
            self.app.read_rows()
        elif key in {"enter", "space"}:
            self.app.open_row(rows[self.home.picked])

    def _press_card(self, card: Card, key: str) -> None:
        if key in {"escape", "backspace", "q"}:
            self.card = None
        elif key in {"up", "down"}:
            card.picked = (card.picked + (1 if key == "down" else -1)) % len(card.choices)
        elif key in {"left", "right"}:
            card.choices[card.picked].turn(1 if key == "right" else -1)
            self.app.fill_card(card)
        elif key in {"enter", "space"}:
            self.card = None
            self.app.start_piece(card)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the list, the card or the help."""
        if self.help:
            from .bench_view import View
            from .moments import draw_help

            lines = [(self.named(key), what) for key, what in HOME_HELP]
            return draw_help(View(width, height, self.app.keys), lines)
        if self.card is not None:
            return draw_card(self.card, width, height, self.named)
        return draw_home(self.home, width, height, self.named)
