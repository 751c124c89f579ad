"""Pieces that come into a lot without having been begun for it: made away, or out of stock."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import partial

from bench.commission.book import CommissionBook
from bench.commission.finished_stock import put_back, read_finished
from bench.commission.pieces import CommissionPieces, read_pieces
from bench.craft.text import Fault
from bench.craft.words import full_name, plural
from bench.documents.commission import Lot
from bench.documents.errors import DocumentError
from bench.journal.inspection_payloads import PutIntoLot
from bench.journal.payload_base import Payload
from bench.journal.piece_state import PieceState
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import readable, writable, write
from bench.screens.lists.typed_values import typed_number
from bench.timing.recording import MOST_PIECES, recorded


class MadeAwayForm(DatedForm):
    """So many pieces of a lot that were made without the program; kept together."""

    keeps = "keep"
    heading = "made away"

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        found = read_pieces(readable(companion), book)
        self.missing = [found.counts(lot)["planned"] for lot in book.commission.lots]
        self.lot = next((at for at, missing in enumerate(self.missing) if missing), 0)
        self.first, self.count = self.lot, 1
        self.minutes: float | None = None

    @property
    def changed(self) -> bool:
        """Whether anything was said."""
        return self.minutes is not None or self.count > 1 or self.lot != self.first

    def rows(self) -> Sequence[FormRow]:
        """The lot, how many, how long one took, and when they were done."""
        lots = self.book.commission.lots
        many = f"{self.count} of {self.missing[self.lot]} to make"
        minutes = "not timed: it counts for no pace"
        if self.minutes is not None:
            minutes = f"{self.minutes:g} minutes each"
        asks = "Hands-on minutes for one, breaks left out; they count for your pace. Or “none”."
        return (
            FormRow("of the lot", lots[self.lot].name, turn=self._turn_lot),
            FormRow("how many", many, turn=self._turn, typed=self._set_count, asks="How many."),
            FormRow("one took", minutes, typed=self._set_minutes, asks=asks),
            self.day_row(),
        )

    def _turn_lot(self, step: int) -> None:
        self.lot = (self.lot + step) % len(self.book.commission.lots)

    def _turn(self, step: int) -> None:
        self.count = max(1, min(MOST_PIECES, self.count + step))

    def _set_count(self, text: str) -> None:
        if not text.isdecimal() or not 1 <= int(text) <= MOST_PIECES:
            raise Fault(f"'{text}' is no number of pieces from 1 to {MOST_PIECES}")
        self.count = int(text)

    def _set_minutes(self, text: str) -> None:
        self.minutes = None if text == "none" else typed_number(text, "Minutes")

    def keep(self, choice: str | None = None) -> None:
        """Write them down as good pieces of the lot, with numbers of their own."""
        companion, lot = self.companion, self.book.commission.lots[self.lot]
        journal = writable(companion)
        noon = dt.datetime.combine(self.day, dt.time(12)).astimezone().timestamp()
        at = min(noon, companion.clock.now().wall)
        try:
            made = companion.session.work_up(lot.pattern, lot.size, lot.colourway)
        except DocumentError as error:
            raise Fault(str(error)) from None
        minutes = None if self.minutes is None else self.count * self.minutes
        found = recorded(made, minutes, self.count, None, at)
        first = read_pieces(journal, self.book).next_number(lot)
        events: list[tuple[Payload, str, str | None]] = []
        for number, (piece, said) in enumerate(found, first):
            events.append((said, piece, lot.name))
            put = PutIntoLot(self.book.name, number, self.book.id, lot.id)
            events.append((put, piece, lot.name))
        write(companion, self.book, *events)
        for piece, _ in found:
            companion.pace.touch(piece)
        self.app.pop_screen()


class StockForm(FormScreen):
    """Good pieces of no order, put into lots that are alike in pattern, size and colourway."""

    keeps = ""
    heading = "from stock"

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self._last: tuple[PieceState, str] | None = None
        """The piece that was put in last, as it was before, and what it became."""

    def rows(self) -> Sequence[FormRow]:
        """Every lot with how many would do, and a way back for the last one put in."""
        journal = readable(self.companion)
        spare = in_stock_for(self.companion, self.book, read_pieces(journal, self.book))
        rows = [FormRow("stock", "good pieces of no order, or left over from one")]
        if self._last is not None:
            rows.append(FormRow("take back", self._last[1], opens=self._take_back))
        for lot in self.book.commission.lots:
            fits = spare[lot.id or ""]
            put = partial(self._put, lot, fits[0]) if fits else None
            said = f"{plural(len(fits), 'piece')} would do" + (": ENTER puts one in" * bool(fits))
            rows.append(FormRow(lot.name, said, opens=put))
        return rows

    def below(self) -> Sequence[str]:
        """What each lot is of."""
        lots = self.book.commission.lots
        return [f"{x.name}: {full_name(x.pattern, x.size, x.colourway)}" for x in lots]

    def _put(self, lot: Lot, state: PieceState) -> None:
        assert self.companion.journal is not None
        number = read_pieces(self.companion.journal, self.book).next_number(lot)
        said = PutIntoLot(self.book.name, number, self.book.id, lot.id)
        write(self.companion, self.book, (said, state.uuid, lot.name))
        self.companion.pace.touch(state.uuid)
        self._last = (state, f"{lot.name} {number}: where it was before")
        self.picked, self.said = 0, f"It is {lot.name} {number} now."

    def _take_back(self) -> None:
        assert self._last is not None
        was = self._last[0]
        said, lot = put_back(was) if was.commission is not None else (PutIntoLot(None), None)
        write(self.companion, self.book, (said, was.uuid, lot))
        self.companion.pace.touch(was.uuid)
        self._last = None
        self.picked, self.said = 0, "It is in stock again."


def in_stock_for(
    companion: ListsCompanion, book: CommissionBook, found: CommissionPieces
) -> Mapping[str, Sequence[PieceState]]:
    """By the lot's id the good pieces of the finished stock that are what its pieces are."""
    journal = companion.journal
    stock = () if journal is None else read_finished(journal, companion.library)
    lots = book.commission.lots
    own = {lot.id: {piece.state.uuid for piece in found.of_lot(lot)} for lot in lots}
    free = [piece.state for piece in stock if piece.is_there and piece.state.status == "good"]
    return {
        lot.id or "": [
            state for state in free if state.kind == lot.kind and state.uuid not in own[lot.id]
        ]
        for lot in lots
    }
