"""What else belongs to a commission, each on a page of its own: money, pieces, tags, hanging."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Size

from bench.screens.kit.canvas import Canvas, clauses
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import draw_list, moved
from bench.screens.lists.commission_page import CommissionFigures, CommissionPage

Part = tuple[str, str, Callable[[], None]]
"""A page's name, what can be done there, and what opens it."""
NAMES = 18
"""Columns of a name."""


class ShopPage(CommissionPage):
    """Opens the picked part of the commission."""

    page = "shop"
    own_help: Lines = (("UP DOWN", "choose"), ("ENTER", "open it"))

    def __init__(
        self, figures: CommissionFigures, turn: Callable[[str], None], parts: Sequence[Part]
    ) -> None:
        super().__init__(figures, turn)
        self.parts = parts

    def act_here(self, action: str, size: Size) -> None:
        """Open the picked part, or pick another one."""
        if action == "open":
            self.parts[self.picked][2]()
        else:
            self.picked = moved(self.picked, action, len(self.parts))

    def keys(self) -> Sequence[Key]:
        """The keys of the list."""
        return (("ENTER", "open", "open"), ("UP DOWN", "choose", ""))

    def draw_body(self, canvas: Canvas, named: Callable[[str], str]) -> None:
        """Draw the parts."""

        def draw_part(number: int, y: int, style: str) -> None:
            name, says, _ = self.parts[number]
            canvas.text(3, y, name, style or "bold", NAMES)
            room = canvas.width - NAMES - 5
            canvas.text(4 + NAMES, y, clauses(says, room), style, room)

        draw_list(canvas, 3, canvas.height - 7, len(self.parts), self.picked, draw_part)
