"""The pieces of a commission: inspected, signed off, packed, handed over, given back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import partial

from bench.commission.book import CommissionBook
from bench.commission.inspection import Measures, deviations
from bench.commission.pieces import GOOD, CommissionPieces, LotPiece, Status, read_pieces
from bench.craft.text import Fault
from bench.journal.commission_payloads import SampleApproved
from bench.journal.inspection_payloads import (
    Delivered,
    Inspected,
    InspectionUndone,
    Packed,
    Returned,
    Verdict,
)
from bench.journal.payload_base import Payload
from bench.journal.payloads import Measured
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import write
from bench.screens.lists.typed_values import typed_number

REASON_ASKS = "Why, in a few words."


class PiecesScreen(FormScreen):
    """Every piece that was begun on a line, with its state and what is off the sample."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: pieces"
        self.found = self._read()

    def _read(self) -> CommissionPieces:
        if self.companion.journal is None:
            raise Fault("There is no journal to read.")
        return read_pieces(self.companion.journal, self.book)

    def on_screen_resume(self) -> None:
        """Read them anew: something may have been said of one."""
        self.found = self._read()
        super().on_screen_resume()

    def rows(self) -> Sequence[FormRow]:
        """The pieces, or a line that says that none is begun."""
        if not self.found.pieces:
            return (FormRow("none", "no piece of it is begun yet"),)
        return tuple(
            FormRow(piece.name, self._said(piece), opens=partial(self._open_piece, piece))
            for piece in self.found.pieces
        )

    def _said(self, piece: LotPiece) -> str:
        said = piece.status + (f" in {piece.state.tray}" if piece.status == "packed" else "")
        said += ", the sample" if piece.state.sample else ""
        off = off_sample(self.companion, self.found, piece)
        return f"{said}; {off}" if off else said

    def below(self) -> Sequence[str]:
        """What is promised and what is spare, by lot."""
        lines = []
        for lot in self.book.commission.lots:
            counts = self.found.counts(lot)
            said = ", ".join(f"{count} {status}" for status, count in counts.items() if count)
            lines.append(f"{lot.name}: {said or 'nothing'} of {lot.pieces}")
        return lines

    def _open_piece(self, piece: LotPiece) -> None:
        self.app.push_screen(PieceForm(self.companion, self.book, piece))


class PieceForm(FormScreen):
    """What is said of one finished piece; each line is written down at once."""

    keeps = ""

    def __init__(self, companion: ListsCompanion, book: CommissionBook, piece: LotPiece) -> None:
        super().__init__(companion)
        self.book, self.piece = book, piece
        self.heading = piece.name
        self.found = self._read()

    def _read(self) -> CommissionPieces:
        assert self.companion.journal is not None
        return read_pieces(self.companion.journal, self.book)

    def rows(self) -> Sequence[FormRow]:
        """What can be said of it in its state."""
        status, own = self.piece.status, self.piece.measures
        rows = [FormRow("state", status + (f": {self.piece.state.reason}" * bool(
            self.piece.state.reason)))]  # fmt: skip
        if self.piece.state.open or status == "given up":
            return rows
        rows += [
            self._measure("length, mm", "length_mm", own.length_mm),
            self._measure("thickness, mm", "thickness_mm", own.thickness_mm),
            self._measure("weight, g", "weight_g", own.weight_g),
            FormRow("good", "as it should be", opens=lambda: self._say(Inspected("good"))),
            FormRow(*("second", "why"), typed=partial(self._not_good, "second"), asks=REASON_ASKS),
            FormRow(*("spoilt", "why"), typed=partial(self._not_good, "spoilt"), asks=REASON_ASKS),
        ]
        if self.piece.state.inspected is not None:
            say = partial(self._say, InspectionUndone())
            rows.append(FormRow("take back", "its inspection", opens=say))
        if status in GOOD:
            rows += self._as_sample()
        return [*rows, *self._onward(status)]

    def _as_sample(self) -> list[FormRow]:
        sign = FormRow("the sample", "sign it off", opens=partial(self._say, Measured(True)))
        if not self.piece.state.sample:
            return [sign]
        said = SampleApproved(self.piece.state.uuid, _today())
        return [FormRow("approved", "by the customer, today", opens=partial(self._of_book, said))]

    def _onward(self, status: Status) -> list[FormRow]:
        """Packed, handed over, given back, mended: what can come next."""
        today = _today()
        rows = []
        if status in ("made", "good", "packed"):
            asks = "The tray's name."
            rows.append(FormRow("into a tray", self.piece.state.tray or "–", typed=self._pack,
                                asks=asks))  # fmt: skip
        if status == "packed":
            rows.append(FormRow("out of it", "again", opens=partial(self._say, Packed(""))))
        if status in ("made", "good", "packed", "second"):
            rows.append(FormRow("handed over", "today", opens=partial(self._say, Delivered(today))))
        if status == "delivered":
            rows.append(FormRow("came back", "for repair", typed=self._back, asks=REASON_ASKS))
            undone = partial(self._say, Delivered(today, True))
            rows.append(FormRow("take back", "that it was handed over", opens=undone))
        if status == "returned":
            mended = partial(self._say, Returned(today, "", True))
            rows.append(FormRow("mended", "it can go again", opens=mended))
        return rows

    def below(self) -> Sequence[str]:
        """What is looked at, and what is off the sample."""
        off = off_sample(self.companion, self.found, self.piece)
        looks = "look at: " + "; ".join(self.companion.settings.shop.looks)
        return [looks, *([off] if off else [])]

    def _measure(self, name: str, key: str, value: float | None) -> FormRow:
        shown = "–" if value is None else f"{value:g}"
        return FormRow(name, shown, typed=partial(self._measured, key), asks="What it measures.")

    def _measured(self, key: str, text: str) -> None:
        self._say(Measured(False, **{key: typed_number(text, "A measure")}))

    def _not_good(self, verdict: Verdict, reason: str) -> None:
        self._say(Inspected(verdict, reason))

    def _pack(self, tray: str) -> None:
        self._say(Packed(tray))

    def _back(self, reason: str) -> None:
        self._say(Returned(_today(), reason))

    def _say(self, said: Payload) -> None:
        state = self.piece.state
        write(self.companion, self.book, (said, state.uuid, state.lot))
        self._read_again()

    def _of_book(self, said: Payload) -> None:
        write(self.companion, self.book, (said, self.book.id, None))
        self.said = "Written down."

    def _read_again(self) -> None:
        self.found = self._read()
        (self.piece,) = (p for p in self.found.pieces if p.state.uuid == self.piece.state.uuid)


def off_sample(companion: ListsCompanion, found: CommissionPieces, piece: LotPiece) -> str:
    """What of a piece is off its sample by more than the tolerance; "" if nothing is."""
    sample = found.sample_of(piece.lot).piece
    wanted = Measures() if sample is None else sample.measures
    off = deviations(piece.measures, wanted, companion.settings.shop)
    return "OFF: " + "; ".join(one.says for one in off) if off else ""


def _today() -> str:
    return dt.date.today().isoformat()
