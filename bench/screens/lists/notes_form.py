"""A note of a commission, of a lot or of a piece kept; or a photograph's name."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.book import CommissionBook
from bench.commission.order_notes import note_said, read_notes
from bench.commission.pieces import read_pieces
from bench.journal.commission_payloads import CommissionUndone
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.notes_page import note_line
from bench.screens.lists.shop_writing import readable, write

WHOLE = "the whole order"
PHOTO_ASKS = "The name of its file, as IMG_0412.jpg; the photograph stays where it is."


class NotesForm(FormScreen):
    """Chooses what a note is about; each is written down at once."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: notes"
        self.journal = readable(companion)
        self.about = 0
        """0 for the whole, then the lots, then the pieces."""
        self._read()

    def _read(self) -> None:
        self.found = read_pieces(self.journal, self.book)
        self.notes = read_notes(self.journal, self.book, self.found)

    @property
    def _names(self) -> Sequence[str]:
        lots = [lot.name for lot in self.book.commission.lots]
        return (WHOLE, *lots, *(piece.name for piece in self.found.pieces))

    def rows(self) -> Sequence[FormRow]:
        """What it is about, what it says, the last one taken back."""
        about = self._names[self.about]
        rows = [
            FormRow("about", about, turn=self._turn),
            FormRow("note", f"of {about}", typed=self._note, asks="What is to be kept."),
            FormRow("photograph", f"of {about}", typed=self._photo, asks=PHOTO_ASKS),
        ]
        own = [note for note in self.notes if note.of_order]
        if own:
            undo = partial(self._undo, own[-1].event)
            rows.append(FormRow("take back", own[-1].text or own[-1].photo, opens=undo))
        return rows

    def below(self) -> Sequence[str]:
        """The notes, the latest first."""
        return [note_line(note) for note in reversed(self.notes)]

    def _turn(self, step: int) -> None:
        self.about = (self.about + step) % len(self._names)

    def _note(self, text: str) -> None:
        self._say(text, "")

    def _photo(self, name: str) -> None:
        self._say("", name)

    def _say(self, text: str, photo: str) -> None:
        lots = self.book.commission.lots
        lot = lots[self.about - 1].name if 1 <= self.about <= len(lots) else None
        piece = None
        if self.about > len(lots):
            piece = self.found.pieces[self.about - 1 - len(lots)].state.uuid
        said = note_said(self.book, self.found, text, photo, lot, piece)
        write(self.companion, self.book, (said, self.book.id, None))
        self._read()
        self.said = "Kept."

    def _undo(self, event: str) -> None:
        write(self.companion, self.book, (CommissionUndone(event), self.book.id, None))
        self._read()
        self.picked, self.said = 0, "Taken back."
