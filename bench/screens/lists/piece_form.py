"""One finished piece of a commission: measured, inspected, signed off, packed, handed over."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from bench.commission.book import CommissionBook
from bench.commission.finished_stock import read_finished
from bench.commission.inspection import Deviation, Measures, deviations, failed_words, judged
from bench.commission.pieces import GOOD, CommissionPieces, LotPiece, Status, read_pieces
from bench.craft.text import Fault
from bench.journal.commission_payloads import CommissionUndone, SampleApproved
from bench.journal.inspection_payloads import (
    Delivered,
    Inspected,
    InspectionUndone,
    Packed,
    PutIntoLot,
    Returned,
    Verdict,
)
from bench.journal.payload_base import Payload
from bench.journal.payloads import Measured, Note, SignOffUndone
from bench.making.notes import notes_of_piece
from bench.making.reasons import NO_REASON, reasons_of
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.note_entry import note_words
from bench.screens.kit.reason_entry import ReasonEntry
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.dated_form import DatedForm
from bench.screens.lists.finished_piece_form import FinishedPieceForm
from bench.screens.lists.form import FormRow
from bench.screens.lists.shop_writing import readable, write
from bench.screens.lists.typed_values import typed_number

REASON_ASKS = "Why, in a few words."
GOOD_ANYWAY = "good all the same"
"""What can be chosen of a piece that is off its sample, or failed a look."""
NOT_GOOD: tuple[Verdict, ...] = ("second", "spoilt")
VERDICTS = (GOOD_ANYWAY, *NOT_GOOD)
HELD, FAILED = "as it should be", "FAILED"
BEFORE = "it is as before it"
UNMEASURED = "It is the sample now; nothing of it is measured: pieces are held to nothing."


class PieceForm(DatedForm):
    """What is said of one piece; each line is written down at once, as of the day."""

    def __init__(self, companion: ListsCompanion, book: CommissionBook, piece: LotPiece) -> None:
        super().__init__(companion)
        self.book, self.piece = book, piece
        self.found = self._read()
        self.failed = piece.state.failed
        """The looks that are marked; they are kept with the verdict."""

    @property
    def changed(self) -> bool:
        """Whether looks are marked that no verdict has kept yet."""
        return self.failed != self.piece.state.failed

    def _read(self) -> CommissionPieces:
        assert self.companion.journal is not None
        return read_pieces(self.companion.journal, self.book)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw it under the piece's name and state."""
        status, reason = self.piece.status, self.piece.state.reason
        if status == "returned" and self.companion.journal is not None:
            back = [
                said for _, said in self.companion.journal.each(Returned, self.piece.state.uuid)
            ]
            reason = back[-1].reason if back else None
        tray = f" in {self.piece.state.tray}" if status == "packed" else ""
        said = f"{self.piece.name}: {status}{tray}"
        self.heading = f"{said}, {reason}" if reason else said
        return super().draw(width, height)

    def rows(self) -> Sequence[FormRow]:
        """What can be said of it in its state."""
        status, own = self.piece.status, self.piece.measures
        note = FormRow("note", "keep a line with it", typed=self._note, asks="What to keep.")
        if self.piece.state.open or status == "given up":
            return [note]
        rows = [
            self._measure("length, mm", "length_mm", own.length_mm),
            self._measure("thickness, mm", "thickness_mm", own.thickness_mm),
            self._measure("weight, g", "weight_g", own.weight_g),
            *(self._look(look) for look in self._looks()),
            self._good_row(),
            FormRow("second", "ENTER asks why", opens=partial(self._ask_why, "second")),
            FormRow("spoilt", "ENTER asks why", opens=partial(self._ask_why, "spoilt")),
        ]
        rows += self._as_sample() if status in GOOD else []
        return [*rows, self.day_row(), *self._onward(status), note, *self._back_again(status)]

    def _good_row(self) -> FormRow:
        if self.piece.status == "good" and not self.changed:
            return FormRow("good", "it is called good")
        return FormRow("good", "ENTER: it is as it should be", opens=self._good)

    def _as_sample(self) -> list[FormRow]:
        sample = self.found.sample_of(self.piece.lot)
        other = sample.piece
        if other is not None and other.state.uuid != self.piece.state.uuid:
            return [FormRow("the sample", f"is {other.name}")]
        if not self.piece.state.sample:
            nothing = self.piece.measures == Measures()
            told = UNMEASURED if nothing else "It is the sample now."
            sign = partial(self._say, Measured(True), told)
            off = self._off()
            words = f"ENTER: sign it off as that{f'; {off}' if off else ''}"
            return [FormRow("the sample", words, opens=sign)]
        if sample.former is not None:
            return [FormRow("the sample", "no longer: its pattern was changed since")]
        if sample.approved is not None:
            return [FormRow("approved", f"by the customer, on {sample.approved}")]
        said = SampleApproved(self.piece.state.uuid, self.day_said)
        approve = partial(self._of_book, said, "Approved by the customer.")
        return [FormRow("approve it", f"ENTER: by the customer, {self.day_words}", opens=approve)]

    def _onward(self, status: Status) -> list[FormRow]:
        """Packed, handed over, given back, mended: what can come next."""
        day, when = self.day_said, self.day_words
        rows = []
        if status in ("made", "good", "packed"):
            tray = self.piece.state.tray or "–"
            rows.append(FormRow("into a tray", tray, typed=self._pack, asks="The tray's name."))
            over = partial(self._say, Delivered(day), f"It is handed over, {when}.")
            rows.append(FormRow("hand it over", f"ENTER: {when}", opens=over))
        if status == "packed":
            out = partial(self._say, Packed(""), "It is out of the tray.")
            rows.append(FormRow("out of the tray", "ENTER: it lies in none", opens=out))
        if status == "delivered":
            asks = REASON_ASKS
            rows.append(FormRow("came back", "for repair: why", typed=self._back, asks=asks))
        if status in ("made", "good", "packed", "second") and not self.piece.state.sample:
            said = "ENTER: out of its lot, to be sold, lent, put into another order"
            rows.append(FormRow("into stock", said, opens=self._into_stock))
        if status == "returned":
            mended = partial(self._say, Returned(day, "", True), "It is mended.")
            rows.append(FormRow("mended", f"ENTER: {when}; it can go again", opens=mended))
        return rows

    def _back_again(self, status: Status) -> list[FormRow]:
        """What can be taken back, each on a line of its own at the end."""
        rows, sample = [], self.found.sample_of(self.piece.lot)
        if self.piece.state.inspected is not None and status != "delivered":
            rows.append(FormRow("take back inspection", BEFORE, opens=self._undo_inspection))
        if self.piece.state.sample and sample.approval is not None and status in GOOD:
            undone = CommissionUndone(sample.approval[0])
            say = partial(self._of_book, undone, "It is not approved, after all.")
            rows.append(FormRow("take back approval", "not approved after all", opens=say))
        elif self.piece.state.sample and status in GOOD:
            say = partial(self._say, SignOffUndone(), "It is not the sample, after all.")
            rows.append(FormRow("take back sample", "not the sample after all", opens=say))
        if status == "delivered":
            said = Delivered(self.day_said, True)
            say = partial(self._say, said, "It was not handed over, after all.")
            rows.append(FormRow("take back delivery", "not handed over after all", opens=say))
        return rows

    def below(self) -> Sequence[str]:
        """What is marked and not kept yet, what is off the sample, and its notes."""
        off = self._off()
        marked = "! The looks that are marked are kept with good, second or spoilt."
        notes = notes_of_piece(self.companion.journal, self.piece.state.uuid)
        said = [marked] if self.changed else []
        change = self.found.sample_of(self.piece.lot).change
        if change is not None and self.piece.state.sample:
            asks = "a new sample is needed" if change.remade else "look at its colours"
            said.append(f"! changed since it was made, {asks}: {change.said}")
        return [*said, *([off] if off else []), *map(note_words, notes)]

    def _off(self) -> str:
        return off_sample(self.companion, self.found, self.piece)

    def _looks(self) -> Sequence[str]:
        """The looks of the settings' list, and those that the piece failed when it was another."""
        return tuple(dict.fromkeys((*self.companion.settings.shop.looks, *self.piece.state.failed)))

    def _look(self, look: str) -> FormRow:
        mark = partial(self._mark, look)
        held = "–" if self.piece.state.inspected is None else HELD
        said = FAILED if look in self.failed else held
        turns = "failed, not failed"
        return FormRow(f"look: {look}", said, turn=mark, opens=partial(mark, 1), turns=turns)

    def _mark(self, look: str, _: int) -> None:
        marked = {*self.failed} ^ {look}
        self.failed = tuple(one for one in self._looks() if one in marked)

    def leave(self, *, again: bool) -> None:
        """Go back; marks that no verdict has kept are told once."""
        if self.changed and not again:
            self.choices = VERDICTS
            named = "; ".join(f"{at} {what}" for at, what in enumerate(VERDICTS, 1))
            self.said = f"What is it? {named}; the same key again leaves it without the marks."
            return
        self.app.pop_screen()

    def _measure(self, name: str, key: str, value: float | None) -> FormRow:
        shown = "–" if value is None else f"{value:g}{self._held_to(name)}"
        return FormRow(name, shown, typed=partial(self._measured, key), asks="What it measures.")

    def _held_to(self, name: str) -> str:
        """What a measure is held to, behind it; "" without a measured sample."""
        for one in self._judged():
            if name.startswith(one.what):
                return f"   {one.off:+.2g} of {one.held}"
        return ""

    def _judged(self) -> Sequence[Deviation]:
        piece, sample = self.piece, self.found.sample_of(self.piece.lot)
        if sample.piece is not None and sample.piece.state.uuid == piece.state.uuid:
            return ()
        own = self.found.scatter_of(piece.lot)
        return judged(piece.measures, sample.measures, self.companion.settings.shop, own)

    def _measured(self, key: str, text: str) -> None:
        measured = Measured(False, **{key: typed_number(text, "A measure")})
        self._say(measured, "Measured.")
        self.said = self._off() or self.said

    def _good(self) -> None:
        wrong = "; ".join(filter(None, (self._off(), failed_words(self.failed))))
        if wrong:
            self.choices = (GOOD_ANYWAY,)
            self.said = f"{wrong}: 1 calls it good all the same"
            return
        self._say(Inspected("good"), "It is good.")

    def keep(self, choice: str | None = None) -> None:
        """Call it what was chosen, where it was asked what it is."""
        if choice == GOOD_ANYWAY:
            self._say(Inspected("good", looks=self.failed), "It is good all the same.")
        for verdict in NOT_GOOD:
            if verdict == choice:
                self._ask_why(verdict)

    def _undo_inspection(self) -> None:
        self.failed = ()
        self._say(InspectionUndone(), "Its inspection is taken back.")

    def _ask_why(self, verdict: Verdict) -> None:
        def keep(reason: str | None) -> None:
            self._try(partial(self._not_good, verdict, reason))

        reasons = reasons_of(self.companion.journal)
        asks = f"{self.piece.name} is {verdict}. Why?"
        self.app.push_screen(ReasonEntry(self.companion, asks, reasons, keep))

    def _not_good(self, verdict: Verdict, reason: str | None) -> None:
        """Write it down; looks that failed are reason enough."""
        if reason is None and not self.failed:
            reason = NO_REASON
        why = reason or failed_words(self.failed)
        self._say(Inspected(verdict, reason, self.failed), f"It is {verdict}: {why}.")

    def _pack(self, tray: str) -> None:
        self._say(Packed(tray), f"It is in tray {tray}.")

    def _back(self, reason: str) -> None:
        self._say(Returned(self.day_said, reason), f"It came back, {self.day_words}.")

    def _note(self, text: str) -> None:
        self._say(Note(text), "Note kept with the piece.")

    def _say(self, said: Payload, told: str) -> None:
        state = self.piece.state
        write(self.companion, self.book, (said, state.uuid, state.lot))
        self.companion.pace.touch(state.uuid)
        self._done(told)

    def _into_stock(self) -> None:
        """Put it out of its lot, and show what can become of it."""
        if self.changed:
            raise Fault("Say first what it is: second or spoilt, or good all the same.")
        state, was = self.piece.state, self.piece.name
        write(self.companion, self.book, (PutIntoLot(None), state.uuid, state.lot))
        self.companion.pace.touch(state.uuid)
        found = read_finished(readable(self.companion), self.companion.library)
        (piece,) = (one for one in found if one.state.uuid == state.uuid)
        self.app.pop_screen()
        said = f"{was} is finished stock now."
        self.app.push_screen(FinishedPieceForm(self.companion, piece, said))

    def _of_book(self, said: Payload, told: str) -> None:
        write(self.companion, self.book, (said, self.book.id, None))
        self._done(told)

    def _done(self, told: str) -> None:
        """Read the piece anew; the same line stays picked, or the first where it is gone."""
        name = self.rows()[self.picked].name
        self.found = self._read()
        (self.piece,) = (p for p in self.found.pieces if p.state.uuid == self.piece.state.uuid)
        names = [row.name for row in self.rows()]
        self.picked, self.said = names.index(name) if name in names else 0, told


def off_sample(companion: ListsCompanion, found: CommissionPieces, piece: LotPiece) -> str:
    """What of a piece is off its sample by more than the tolerance; "" if nothing is."""
    wanted = found.sample_of(piece.lot).measures
    off = deviations(piece.measures, wanted, companion.settings.shop, found.scatter_of(piece.lot))
    return "OFF: " + "; ".join(one.says for one in off) if off else ""
