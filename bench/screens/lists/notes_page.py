"""The notes of a commission, its lots and its pieces, the latest first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

from textual.geometry import Size

from bench.commission.order_notes import OrderNote
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import Key
from bench.screens.kit.help_page import Lines
from bench.screens.kit.picking import scrolled
from bench.screens.lists.commission_page import CommissionFigures, CommissionPage

NONE = "Nothing is noted yet: ENTER notes something, or a photograph's name; at the bench N does."


class NotesPage(CommissionPage):
    """Shows notes; ENTER goes on to keeping one."""

    page = "notes"
    own_help: Lines = (
        ("UP DOWN", "the rest of the notes, if they are longer than the screen"),
        ("ENTER", "note something, or a photograph's name, of the whole, a lot or a piece"),
    )

    def __init__(
        self, figures: CommissionFigures, turn: Callable[[str], None], note: Callable[[], None]
    ) -> None:
        """`note`: opens the page on which one is kept."""
        super().__init__(figures, turn)
        self.notes: Sequence[OrderNote] = ()
        self.first = 0
        self._note = note

    def _lines(self, width: int) -> list[str]:
        return [line for n in reversed(self.notes) for line in wrap(note_line(n), width - 2)]

    def act_here(self, action: str, size: Size) -> None:
        """Keep a note, or go on in the text."""
        if action == "open":
            self._note()
            return
        count, room = len(self._lines(size.width)), size.height - 6
        self.first = scrolled(self.first, action, count, room)

    def keys(self) -> Sequence[Key]:
        """The key of a note, and those that move in the text."""
        return (("ENTER", "note something", "open"), ("UP DOWN", "line", ""))

    def draw_body(self, canvas: Canvas, named: Callable[[str], str]) -> None:
        """Draw the notes."""
        lines = self._lines(canvas.width) or wrap(NONE, canvas.width - 2)
        room = canvas.height - 6
        first = scrolled(self.first, "", len(lines), room)
        for y, line in enumerate(lines[first : first + room], 3):
            canvas.text(1, y, line, "", canvas.width - 2)


def note_line(note: OrderNote) -> str:
    """A note with its day and what it is about: '03 Mar, Plum 3: the end bead sits high'."""
    day = f"{dt.datetime.fromtimestamp(note.wall).astimezone():%d %b}"
    photo = f"photograph {note.photo}" if note.photo else ""
    said = "; ".join(filter(None, (note.text, photo)))
    return f"{day}, {note.about}: {said}" if note.about else f"{day}: {said}"
