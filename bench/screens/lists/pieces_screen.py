"""The pieces of a commission: inspected, packed and handed over, one by one or a tray at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import partial

from bench.commission.book import CommissionBook
from bench.commission.inspection import failed_words
from bench.commission.pieces import LOST, CommissionPieces, LotPiece, Sample, read_pieces
from bench.commission.pieces_answer import pieces_answer
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.journal.commission_payloads import CommissionUndone
from bench.journal.inspection_payloads import Inspected, Packed
from bench.screens.kit.foot import Key
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.more_pieces import MadeAwayForm, StockForm, in_stock_for
from bench.screens.lists.piece_form import PieceForm, off_sample
from bench.screens.lists.shop_writing import write
from bench.screens.lists.tray_form import HandedOverForm, TrayForm
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.pieces_html import inspection_html, packing_html


class PiecesScreen(FormScreen):
    """Trays and what is done with many; then every piece that was begun, with its state."""

    keeps = ""
    own_help = (
        ("G", "the piece is good, as it should be"),
        ("T", "it goes into a tray: the one named last, or another"),
    )

    def __init__(self, companion: ListsCompanion, book: CommissionBook) -> None:
        super().__init__(companion)
        self.book = book
        self.heading = f"{book.commission.title}: pieces"
        self.found = self._read()

    def _read(self) -> CommissionPieces:
        """Read the pieces, and how many in stock would do."""
        if self.companion.journal is None:
            raise Fault("There is no journal to read.")
        found = read_pieces(self.companion.journal, self.book)
        spare = in_stock_for(self.companion, self.book, found)
        self.in_stock = len({state.uuid for states in spare.values() for state in states})
        return found

    @property
    def tray(self) -> str:
        """The tray that a piece of the order was put into last; "" for none yet."""
        assert self.companion.journal is not None
        own = {piece.state.uuid for piece in self.found.pieces}
        packed = self.companion.journal.each(Packed)
        trays = [said.tray for event, said in packed if said.tray and event.piece in own]
        return trays[-1] if trays else ""

    def _read_again(self) -> None:
        """Read the pieces; the line that was picked stays so, wherever it stands now."""
        names = [row.name for row in self.rows()]
        at = min(self.picked, len(names) - 1)
        before = names[:at].count(names[at])
        self.found = self._read()
        same = [number for number, row in enumerate(self.rows()) if row.name == names[at]]
        if same:
            self.picked = same[min(before, len(same) - 1)]

    def on_screen_resume(self) -> None:
        """Read them anew: something may have been said of one."""
        self._read_again()
        super().on_screen_resume()

    def rows(self) -> Sequence[FormRow]:
        """What is done with many, the trays, the pieces."""
        rows = [
            FormRow(piece.name, self._said(piece), opens=partial(self._open_piece, piece))
            for piece in self.found.pieces
        ]
        return (*rows, *self._of_many(), *self._trays(), *self._days())

    def _of_many(self) -> Iterator[FormRow]:
        good = [piece for piece in self.found.pieces if piece.status == "good"]
        made = sum(piece.status == "made" for piece in self.found.pieces)
        if good or made:
            said = f"{plural(len(good), 'good piece')} in no tray"
            said += f", {made} not inspected yet" if made else ""
            asks = "The tray's name; every good piece that is in none goes into it."
            yield FormRow("pack what is good", said, typed=self._pack_all, asks=asks)
        for sample in self.found.samples:
            if sample.waiver is not None:
                said = (
                    f"{sample.lot.name} does not wait ({sample.waived}): ENTER, it does after all"
                )
                yield FormRow("its sample", said, opens=partial(self._wait_again, sample))
        said = "pieces that were made without the program"
        yield FormRow("made away", said, opens=self._made_away)
        if self.in_stock:
            said = f"{plural(self.in_stock, 'good piece')} of no order would do"
            yield FormRow("from stock", said, opens=self._from_stock)

    def _wait_again(self, sample: Sample) -> None:
        assert sample.waiver is not None
        write(self.companion, self.book, (CommissionUndone(sample.waiver[0]), self.book.id, None))
        self._read_again()
        self.said = f"{sample.lot.name} waits for its sample."

    def _trays(self) -> Iterator[FormRow]:
        trays: dict[str, Counter[str]] = {}
        for piece in self.found.pieces:
            if piece.status == "packed":
                trays.setdefault(piece.state.tray, Counter())[piece.lot.name] += 1
        for tray, lots in sorted(trays.items()):
            ((first, _),) = lots.most_common(1)
            of = f"{len(lots)} lots, most of {first}" if len(lots) > 1 else first
            said = f"{plural(lots.total(), 'piece')} of {of}"
            yield FormRow(f"tray {tray}", said, opens=partial(self._open_tray, tray))

    def _days(self) -> Iterator[FormRow]:
        """What was handed over, day by day."""
        days = Counter(p.state.delivered for p in self.found.pieces if p.status == "delivered")
        for day, count in sorted((day, count) for day, count in days.items() if day is not None):
            opens = partial(self._open_day, day)
            yield FormRow(f"out on {day}", plural(count, "piece"), opens=opens)

    def _said(self, piece: LotPiece) -> str:
        said: str = piece.status
        if piece.status == "packed":
            said += f" in {piece.state.tray}"
        if piece.status == "delivered":
            said += f" on {piece.state.delivered}"
        if piece.state.reason and piece.status in LOST:
            said += f" ({piece.state.reason})"
        said += ", the sample" if piece.state.sample else ""
        off = off_sample(self.companion, self.found, piece)
        return "; ".join(filter(None, (said, failed_words(piece.state.failed), off)))

    def below(self) -> Sequence[str]:
        """What is promised and what is spare, by lot; what was handed over on which day."""
        told = pieces_answer(self.book, self.found, self.companion.settings.shop, (), waits=False)
        lines = []
        for lot in told.lots:
            said = ", ".join(f"{count} {status}" for status, count in lot.counts.items())
            spare = f"; {lot.spare} spare" if lot.spare else ""
            lines.append(f"{lot.lot}: {said or 'nothing'} of {lot.pieces}{spare}")
        return lines

    def written(self) -> Sequence[WrittenSheet]:
        """The list of trays, and that of what was inspected."""
        name, shop = self.book.name, self.companion.settings.shop
        told = pieces_answer(self.book, self.found, shop, (), waits=False)
        return (
            WrittenSheet("p", "packing list", f"{name}-packing.html", partial(packing_html, told)),
            WrittenSheet(
                "i", "inspection", f"{name}-inspection.html", partial(inspection_html, told)
            ),
        )

    def keys(self) -> Sequence[Key]:
        """Besides those of a form: what a letter does with the picked piece."""
        first, *rest = super().keys()
        on_piece = self.picked < len(self.found.pieces)
        own = [("G", "good", "g"), ("T", "into tray", "t")] if on_piece else []
        return (first, *own, *rest)

    def other_key(self, key: str) -> None:
        """Call the picked piece good, or put it into the tray that was named last."""
        at = self.picked
        if key not in {"g", "t"}:
            super().other_key(key)
        elif at >= len(self.found.pieces):
            raise Fault("Pick a piece first.")
        elif key == "g":
            self._good(self.found.pieces[at])
        else:
            asks, piece = "The tray's name; ENTER takes the one named last.", self.found.pieces[at]
            _refuse_any([piece])
            into = partial(self._one_into, piece)
            row = FormRow("into a tray", "", typed=into, asks=asks)
            self._ask(row, self.tray or piece.state.tray)

    def _good(self, piece: LotPiece) -> None:
        if piece.status not in ("made", "good"):
            raise Fault(f"{piece.name} is {piece.status}; it stays so. ENTER opens its page.")
        off = off_sample(self.companion, self.found, piece)
        if off:
            raise Fault(f"{piece.name}, {off}. ENTER opens it, to be called good all the same.")
        write(self.companion, self.book, (Inspected("good"), piece.state.uuid, piece.state.lot))
        self.companion.pace.touch(piece.state.uuid)
        self._read_again()
        self.said = f"{piece.name} is good."
        later = (at for at, p in enumerate(self.found.pieces) if p.status == "made")
        self.picked = min(later, key=lambda at: (at < self.picked, at), default=self.picked)

    def _pack_all(self, tray: str) -> None:
        good = [piece for piece in self.found.pieces if piece.status == "good"]
        if not good:
            raise Fault("None of them is called good yet: G on a piece's line does it.")
        self._into(tray, good)

    def _one_into(self, piece: LotPiece, tray: str) -> None:
        """Put a piece into a tray, and pick the next one."""
        self._into(tray, [piece])
        self.picked = min(self.picked + 1, len(self.found.pieces) - 1)

    def _into(self, tray: str, pieces: Sequence[LotPiece]) -> None:
        _refuse_any(pieces)
        said = Packed(tray)
        events = [(said, piece.state.uuid, piece.state.lot) for piece in pieces]
        write(self.companion, self.book, *events)
        self._read_again()
        self.said = f"{plural(len(pieces), 'piece')} into tray {tray}."

    def _open_piece(self, piece: LotPiece) -> None:
        self.app.push_screen(PieceForm(self.companion, self.book, piece))

    def _open_tray(self, tray: str) -> None:
        self.app.push_screen(TrayForm(self.companion, self.book, tray))

    def _open_day(self, day: str) -> None:
        self.app.push_screen(HandedOverForm(self.companion, self.book, day))

    def _made_away(self) -> None:
        self.app.push_screen(MadeAwayForm(self.companion, self.book))

    def _from_stock(self) -> None:
        self.app.push_screen(StockForm(self.companion, self.book))


def _refuse_any(pieces: Sequence[LotPiece]) -> None:
    """Raise Fault for one that goes into no tray."""
    wrong = [piece for piece in pieces if piece.status not in ("made", "good", "packed")]
    if wrong:
        raise Fault(f"{wrong[0].name} is {wrong[0].status}; it goes into no tray.")
