"""The order of a commission: what is agreed, owed and paid, and how it came to that."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Size

from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import scrolled
from bench.screens.lists.commission_page import CommissionFigures, CommissionPage
from bench.screens.lists.sheet_screen import draw_lines, sheet_width


class OrderPage(CommissionPage):
    """Shows the order; ENTER changes it."""

    page = "order"
    own_help: Lines = (
        ("ENTER", "change the order: lots, counts, days, prices, terms; money too"),
        ("N", "another commission, begun from this one"),
        ("UP DOWN", "the rest of it, if it is longer than the screen"),
    )

    def __init__(
        self,
        figures: CommissionFigures,
        turn: Callable[[str], None],
        change: Callable[[], None],
        begin: Callable[[], None],
    ) -> None:
        """Show an order; change: opens it to be changed; begin: begins another one."""
        super().__init__(figures, turn)
        self._change, self._begin = change, begin
        self.lines: Callable[[int], Sequence[str]] = lambda width: ()
        """The order as lines of a width."""
        self.first = 0

    def act_here(self, action: str, size: Size) -> None:
        """Change the order, begin another one, or go on in the text."""
        if action == "open":
            self._change()
        elif action == "new":
            self._begin()
        else:
            count = len(self.lines(sheet_width(size.width)))
            self.first = scrolled(self.first, action, count, size.height - 6)

    def keys(self) -> Sequence[Key]:
        """The keys of the order."""
        return (
            ("ENTER", "change it", "open"),
            ("N", "another", "new"),
            ("UP DOWN", "line", ""),
        )

    def draw_body(self, canvas: Canvas, named: Callable[[str], str]) -> None:
        """Draw the order."""
        draw_lines(canvas, 3, canvas.height - 6, self.lines(sheet_width(canvas.width)), self.first)
