"""Many finished pieces at once: a tray handed over or emptied, a day's delivery taken back."""

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
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.pace_words import local_day
from bench.screens.lists.shop_writing import write

OUT = Packed("")
HAND_OVER, TAKE_BACK = "hand it over", "take it back"
"""What can be chosen once it was asked."""


class TrayForm(DatedForm):
    """What becomes of all pieces in a tray; handing over is asked once."""

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
        return (
            FormRow("lies in it", count),
            self.day_row(),
            FormRow("hand it over", f"asks: {count}, {self.day_words}", opens=self._ask_first),
            FormRow("take all out", "ENTER: they lie in no tray", opens=partial(self._say, OUT)),
        )

    def _ask_first(self) -> None:
        pieces = self.pieces
        unseen = sum(piece.state.inspected is None for piece in pieces)
        more = f" ({unseen} not inspected)" if unseen else ""
        when = self.day_words
        begun = [local_day(p.state.started_wall).date() for p in pieces if p.state.started_wall]
        if begun and self.day < max(begun):
            when += f", BEFORE they were begun on {max(begun):%d %b %Y}"
        self.choices = (HAND_OVER,)
        self.said = f"{plural(len(pieces), 'piece')}{more}, {when}{self._unsigned(pieces)}"
        self.said += ": 1 hands them over"

    def _unsigned(self, pieces: Sequence[LotPiece]) -> str:
        """Of which lots no sample is signed off, though none is waived."""
        journal = self.companion.journal
        if journal is None:
            return ""
        samples = read_pieces(journal, self.book).samples
        lots = {sample.lot.id for sample in samples if not sample.signed_off}
        count = len({piece.lot.id for piece in pieces} & lots)
        return f"; of {plural(count, 'lot')} no sample is signed off" if count else ""

    def keep(self, choice: str | None = None) -> None:
        """Hand it over, where that was asked."""
        if choice == HAND_OVER:
            self._say(Delivered(self.day_said))

    def below(self) -> Sequence[str]:
        """Its pieces."""
        return [piece.name for piece in self.pieces]

    def _say(self, said: Payload) -> None:
        pieces = self.pieces
        write(self.companion, self.book, *((said, p.state.uuid, p.state.lot) for p in pieces))
        one = len(pieces) == 1
        what = f"handed over, {self.day_words}" if isinstance(said, Delivered) else "out of it"
        self.picked = 0
        self.said = f"{plural(len(pieces), 'piece')} {'is' if one else 'are'} {what}."


class HandedOverForm(FormScreen):
    """What was handed over on a day, and taking that back as a whole."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, book: CommissionBook, day: str) -> None:
        super().__init__(companion)
        self.book, self.day = book, day
        self.heading = f"handed over on {day}"

    @property
    def pieces(self) -> Sequence[LotPiece]:
        """What was handed over then, and is not back."""
        journal = self.companion.journal
        found = () if journal is None else read_pieces(journal, self.book).pieces
        return [piece for piece in found if piece.state.delivered == self.day]

    def rows(self) -> Sequence[FormRow]:
        """How many, and back."""
        count = plural(len(self.pieces), "piece")
        if not self.pieces:
            return (FormRow("nothing", "was handed over, after all"),)
        return (
            FormRow("handed over", count),
            FormRow("take it back", f"ENTER asks: {count} not handed over", opens=self._ask_first),
        )

    def below(self) -> Sequence[str]:
        """Its pieces."""
        return [piece.name for piece in self.pieces]

    def _ask_first(self) -> None:
        self.choices = (TAKE_BACK,)
        count = plural(len(self.pieces), "piece")
        self.said = f"{count} of {self.day}: 1 says that they were not handed over"

    def keep(self, choice: str | None = None) -> None:
        """Take it back, where that was asked."""
        if choice == TAKE_BACK:
            said, pieces = Delivered(self.day, True), self.pieces
            write(self.companion, self.book, *((said, p.state.uuid, p.state.lot) for p in pieces))
            self.picked, self.said = (
                0,
                f"{plural(len(pieces), 'piece')} not handed over, after all.",
            )
