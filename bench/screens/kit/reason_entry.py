"""A page on which a reason is chosen by one key, or typed as a line of the maker's own."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.documents.key_names import DIGITS
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.companion import Companion
from bench.screens.kit.framed_page import MARGIN, draw_choices, draw_page_keys, framed_page
from bench.screens.kit.help_page import Lines
from bench.screens.kit.page import paragraph
from bench.screens.kit.text_entry import TextEntry
from bench.screens.kit.view import View

MOST_OF_A_REASON = 80
HELP: Lines = (
    ("1 to 9", "this is the reason"),
    ("0", "type a reason of your own; it stands on this list from then on"),
    ("ENTER", "without a reason"),
    ("ESC", "back: nothing is said yet"),
)


class ReasonEntry(BoardScreen):
    """Asks why, and gives the reason to `keep`, or nothing; left, it keeps nothing."""

    def __init__(
        self,
        companion: Companion,
        asks: str,
        reasons: Sequence[str],
        keep: Callable[[str | None], None],
    ) -> None:
        super().__init__(companion)
        self.asks, self.reasons, self.keep = asks, reasons, keep

    def help_lines(self) -> Lines:
        """The keys of the reasons."""
        return HELP

    def press(self, key: str, character: str | None) -> None:
        """Take a reason by its number, ask for one, or go on without."""
        leaves = self.companion.keys.action(key) == "leave"
        if leaves or key in {"escape", "backspace"}:
            self.app.pop_screen()
        elif key == "enter":
            self._keep(None)
        elif key == "0":
            asks = "Why? It stands on the list of reasons from now on."
            entry = TextEntry(self.companion, "REASON", asks, MOST_OF_A_REASON, self._keep)
            self.app.push_screen(entry)
        elif key in DIGITS and int(key) <= len(self.reasons):
            self._keep(self.reasons[int(key) - 1])

    def _keep(self, reason: str | None) -> None:
        self.app.pop_screen()
        self.keep(reason)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the reasons with their keys."""
        view = View(width, height, self.companion.keys)
        canvas = framed_page(view, "WHY?")
        y = paragraph(canvas, 3, self.asks, "bold", None, MARGIN) + 1
        choices = [(str(number), reason, "") for number, reason in enumerate(self.reasons, 1)]
        y = draw_choices(canvas, y, choices, gap=0)
        draw_choices(canvas, y + 1, (("0", "another reason: type it", ""),), gap=0)
        draw_page_keys(canvas, view, ("ENTER", "without a reason"), ("ESC", "back"))
        return canvas
