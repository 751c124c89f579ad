"""A tray of finished pieces: handed over as a whole, on a day, or emptied again."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.book import CommissionBook
from bench.commission.pieces import LotPiece, read_pieces
from bench.craft.words import plural
from bench.journal.inspection_payloads import Delivered, Packed
from bench.journal.payload_base import Payload
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.form import FormRow
from bench.screens.lists.shop_writing import write


class TrayForm(DatedForm):
    """What becomes of all pieces in a tray; each line is written down at once."""

    def __init__(self, companion: ListsCompanion, book: CommissionBook, tray: str) -> None:
        super().__init__(companion)
        self.book, self.tray = book, tray
        self.heading = f"tray {tray}"

    @property
    def pieces(self) -> Sequence[LotPiece]:
        """What lies in it."""
        journal = self.companion.journal
        found = () if journal is None else read_pieces(journal, self.book).pieces
        return [p for p in found if p.status == "packed" and p.state.tray == self.tray]

    def rows(self) -> Sequence[FormRow]:
        """The day, and what can be done with all of it."""
        count = plural(len(self.pieces), "piece")
        if not self.pieces:
            return (FormRow("nothing", "lies in it any more"),)
        over = Delivered(self.day_said)
        return (
            FormRow("lies in it", count),
            self.day_row(),
            FormRow("hand it over", f"{count}, {self.day_words}", opens=partial(self._say, over)),
            FormRow("take all out", "again", opens=partial(self._say, Packed(""))),
        )

    def below(self) -> Sequence[str]:
        """Its pieces."""
        return [piece.name for piece in self.pieces]

    def _say(self, said: Payload) -> None:
        pieces = self.pieces
        write(self.companion, self.book, *((said, p.state.uuid, p.state.lot) for p in pieces))
        what = "are handed over" if isinstance(said, Delivered) else "are out of it"
        self.picked, self.said = 0, f"{plural(len(pieces), 'piece')} {what}, {self.day_words}."
