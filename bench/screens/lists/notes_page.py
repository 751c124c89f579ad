"""The notes that were kept with the pieces of a commission, the latest first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Size

from bench.commission.progress import CommissionProgress
from bench.making.notes import NoteLine
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.note_entry import note_of_piece
from bench.screens.kit.picking import scrolled
from bench.screens.lists.commission_page import CommissionFigures, CommissionPage

NONE = "No note is kept with a piece of this commission. At the bench N keeps one."


class NotesPage(CommissionPage):
    """Shows notes; nothing is chosen here."""

    page = "notes"
    own_help: Lines = (("UP DOWN", "the rest of the notes, if they are longer than the screen"),)

    def __init__(self, figures: CommissionFigures, turn: Callable[[str], None]) -> None:
        super().__init__(figures, turn)
        self.notes: Sequence[NoteLine] = ()
        self.first = 0

    def _lines(self, width: int) -> list[str]:
        return [line for n in reversed(self.notes) for line in wrap(note_of_piece(n), width - 2)]

    def act_here(self, action: str, size: Size) -> None:
        """Go on in the text."""
        count, room = len(self._lines(size.width)), size.height - 6
        self.first = scrolled(self.first, action, count, room)

    def keys(self) -> Sequence[Key]:
        """The keys that move in the text."""
        return (("UP DOWN", "line", ""),)

    def draw_page(
        self, canvas: Canvas, found: CommissionProgress, named: Callable[[str], str]
    ) -> None:
        """Draw the notes."""
        lines = self._lines(canvas.width) or wrap(NONE, canvas.width - 2)
        room = canvas.height - 6
        first = scrolled(self.first, "", len(lines), room)
        for y, line in enumerate(lines[first : first + room], 3):
            canvas.text(1, y, line, "", canvas.width - 2)
