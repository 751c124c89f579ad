"""One finished piece of the stock: sold, lent, given away, lost; back again; into an order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from bench.commission.book import CommissionBook, open_book
from bench.commission.finished_stock import StockPiece, left_with, put_back, read_finished
from bench.commission.money import read_amount, shown
from bench.commission.pieces import read_pieces
from bench.craft.text import Fault
from bench.documents.commission import Lot
from bench.documents.errors import DocumentError
from bench.journal.inspection_payloads import BackInStock, Leave, PutIntoLot
from bench.journal.payload_base import Payload
from bench.journal.payloads import Note
from bench.making.notes import notes_of_piece
from bench.screens.kit.note_entry import note_words
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.form import FormRow
from bench.screens.lists.shop_writing import readable, write

SOLD_ASKS = "What it is sold for, as 25.00."
LENT_ASKS = "What the loan brings, as 5.00; “none” for nothing."


@dataclass(frozen=True)
class TakingLot:
    """A lot of an order that takes such pieces, and how many of it are still to make."""

    book: CommissionBook
    lot: Lot
    planned: int


class FinishedPieceForm(DatedForm):
    """What becomes of one piece; each line is written down at once, as of the day."""

    def __init__(self, companion: ListsCompanion, piece: StockPiece, said: str = "") -> None:
        super().__init__(companion)
        self.piece, self.said = piece, said
        self.heading = piece.state.name
        self.wanted = self._wanted()

    def _wanted(self) -> Sequence[TakingLot]:
        """The lots of the maker's own orders that it could go into, as far as they can be read."""
        journal, library = readable(self.companion), self.companion.library
        state, found = self.piece.state, []
        for entry in library.commissions() if state.status == "good" else ():
            try:
                book = open_book(library, journal, entry.name)
            except (DocumentError, Fault):
                continue
            if book.cancelled is not None or book.stamp is None:
                continue
            pieces = read_pieces(journal, book)
            for lot in book.commission.lots:
                is_its_own = any(one.state.uuid == state.uuid for one in pieces.of_lot(lot))
                if lot.kind == state.kind and not is_its_own:
                    found.append(TakingLot(book, lot, pieces.counts(lot)["planned"]))
        return sorted(found, key=lambda one: -one.planned)

    def rows(self) -> Sequence[FormRow]:
        """How it stands, and what can become of it."""
        piece = self.piece
        rows = [FormRow("state", piece.says)]
        if piece.came_from:
            rows.append(FormRow("is of" if piece.beyond else "was", piece.came_from))
        rows.append(self.day_row())
        rows += self._leaving() if piece.is_there else self._coming_back()
        note = FormRow("note", "keep a line with it", typed=self._note, asks="What to keep.")
        return [*rows, note]

    def _leaving(self) -> list[FormRow]:
        when, sold = self.day_words, partial(self._left, "sold")
        rows = [
            FormRow("sold", f"ENTER: {when}; asks for how much", typed=sold, asks=SOLD_ASKS),
            FormRow("lent", f"ENTER: {when}", typed=partial(self._left, "lent"), asks=LENT_ASKS),
            FormRow(
                "given away", f"ENTER: {when}", opens=partial(self._left, "given away", "none")
            ),
            FormRow("lost", f"ENTER: {when}", opens=partial(self._left, "lost", "none")),
        ]
        for one in self.wanted:
            wants = f"{one.planned} to make" if one.planned else "spare: none is lacking"
            said = f"ENTER: {wants}, of {one.book.commission.title}"
            rows.append(FormRow(f"into {one.lot.name}", said, opens=partial(self._into, one)))
        if self.piece.beyond is None and self.piece.state.lots_left:
            rows.append(
                FormRow("take back", "ENTER: into its lot again", opens=self._back_into_lot)
            )
        return rows

    def _coming_back(self) -> list[FormRow]:
        away = self.piece.state.away
        if away is None:
            return []
        back = partial(self._say, BackInStock(self.day_said), f"It is back, {self.day_words}.")
        undone = partial(self._say, BackInStock(self.day_said, True), "It is in stock, as before.")
        take = FormRow("take back", f"ENTER: that it was {away.how}", opens=undone)
        if away.how == "sold":
            return [take]
        return [FormRow("came back", f"ENTER: {self.day_words}", opens=back), take]

    def below(self) -> Sequence[str]:
        """Each time that it was away, and its notes."""
        lines = []
        for away in self.piece.state.aways:
            price = "" if away.price is None else f", {away.price} {away.currency}".rstrip()
            back = "" if away.back is None else f"; back on {away.back}"
            lines.append(f"{away.how} on {away.day}{price}{back}")
        notes = notes_of_piece(self.companion.journal, self.piece.state.uuid)
        return [*lines, *map(note_words, notes)]

    def _left(self, how: Leave, text: str = "none") -> None:
        price = None if text == "none" else shown(read_amount(text, "It"))
        currency = self.companion.settings.work.currency
        said = left_with(how, self.day_said, price, currency)
        self._say(said, f"It is {how}, {self.day_words}.")

    def _into(self, one: TakingLot) -> None:
        journal = readable(self.companion)
        number = read_pieces(journal, one.book).next_number(one.lot)
        said = PutIntoLot(one.book.name, number, one.book.id, one.lot.id)
        write(self.companion, one.book, (said, self.piece.state.uuid, one.lot.name))
        self.companion.pace.touch(self.piece.state.uuid)
        self.app.pop_screen()

    def _back_into_lot(self) -> None:
        said, lot = put_back(self.piece.state)
        write(self.companion, None, (said, self.piece.state.uuid, lot))
        self.companion.pace.touch(self.piece.state.uuid)
        self.app.pop_screen()

    def _note(self, text: str) -> None:
        self._say(Note(text), "Note kept with the piece.")

    def _say(self, said: Payload, told: str) -> None:
        uuid = self.piece.state.uuid
        write(self.companion, None, (said, uuid, None))
        self.companion.pace.touch(uuid)
        found = read_finished(readable(self.companion), self.companion.library)
        self.piece = next((one for one in found if one.state.uuid == uuid), self.piece)
        self.wanted = self._wanted()
        self.picked, self.said = 0, told
