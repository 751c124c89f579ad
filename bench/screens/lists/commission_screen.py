"""The commission screen: how a commission stands, what to do tonight, what it needs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from textual.screen import Screen

from bench.answers.closing import ClosingAnswer
from bench.answers.needs import NeedsAnswer
from bench.answers.tonight import TonightAnswer
from bench.commission.account import read_account
from bench.commission.book import CommissionBook, open_book
from bench.commission.lot_refs import order_lots
from bench.commission.needs import needs_of
from bench.commission.order_notes import read_notes
from bench.commission.overview import Overview, read_overview
from bench.commission.pieces import read_pieces
from bench.commission.place_turns import next_by_place
from bench.commission.progress import commission_in_file
from bench.commission.promises import promised_twice
from bench.commission.starting import begun_last_with, in_hand, number_of_next, start_of_lot
from bench.commission.tonight import read_tonight
from bench.craft.stages import Stage
from bench.craft.text import Fault
from bench.documents.commission import Commission
from bench.documents.errors import DocumentError
from bench.journal.commission_payloads import SampleWaived
from bench.journal.errors import JournalError
from bench.journal.store import Journal
from bench.making.reasons import NO_REASON
from bench.screens.kit.list_screen import ListScreen, bindings
from bench.screens.kit.reason_entry import ReasonEntry
from bench.screens.lists.apart import work_apart
from bench.screens.lists.buying_screen import BuyingScreen
from bench.screens.lists.closing_page import ClosingPage
from bench.screens.lists.closing_sheet import closing_sheet, read_closing
from bench.screens.lists.commission_page import PAGE_ACTIONS, CommissionFigures, CommissionPage
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.expected_times import finished_news
from bench.screens.lists.lots_page import LotsPage, NextPiece
from bench.screens.lists.needs_page import NeedsPage
from bench.screens.lists.notes_form import NotesForm
from bench.screens.lists.notes_page import NotesPage
from bench.screens.lists.order_ahead import (
    ahead_lines,
    before_loading,
    begun_from,
    money_words,
    order_lines,
    sample_awaited,
)
from bench.screens.lists.order_page import OrderPage
from bench.screens.lists.order_screen import OrderScreen
from bench.screens.lists.pace_screen import PAGE_KEYS
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.shop_page import ShopPage
from bench.screens.lists.shop_parts import parts_of
from bench.screens.lists.shop_writing import write
from bench.screens.lists.tonight_page import TonightPage
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.tonight import tonight_html, tonight_lines
from bench.timing.piece_records import loose_of, work_days

WAIVED = ("made such pieces before", "the customer is in a hurry", "the sample is being measured")
"""Usual reasons for not waiting for a sample."""
STILL_S = 0.2
"""So long no key changes the time at hand before the evening is worked out."""
NUMBER_KEYS = {action: action.removeprefix("page_") for action in PAGE_ACTIONS}


class CommissionScreen(ListScreen):
    """One commission. What takes long is worked out in another thread and then shown."""

    BINDINGS = [*bindings("the pages", PAGE_KEYS | NUMBER_KEYS)]
    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion, name: str) -> None:
        """Read the commission. Raises DocumentError or Fault if its file is wrong."""
        super().__init__(companion)
        self.commission_name = companion.library.commission_path(name).stem
        self.commission, self.wrong = commission_in_file(
            self.companion.library, self.commission_name
        )
        self.clock = companion.clock
        self.figures = CommissionFigures(
            self.commission.title, self.clock.now(), companion.settings.work
        )
        begin = begun_last_with(companion.journal)
        self.lots = LotsPage(
            *(self.figures, self._turn, len(self.commission.lots), begin),
            *(self._look, self._start, companion.take_up),
        )
        self.tonight = TonightPage(
            *(self.figures, self._turn, lambda: companion.settings.stand.stands),
            *(companion.session.evening, self._keep_evening, self._print_evening),
        )
        self.notes = NotesPage(self.figures, self._turn, self._note)
        self.order = OrderPage(self.figures, self._turn, self._change_order, self._begin_order)
        self.shop = ShopPage(self.figures, self._turn, parts_of(companion, self._open))
        self.needs = NeedsPage(self.figures, self._turn, self._buy, self.times_read)
        self.pages: dict[str, CommissionPage] = {
            "lots": self.lots,
            "tonight": self.tonight,
            "needs": self.needs,
            "closing": ClosingPage(self.figures, self._turn, self._sum_up),
            "notes": self.notes,
            "order": self.order,
            "shop": self.shop,
        }
        self.mode = self.order if self.wrong else self.lots

    def _turn(self, page: str) -> None:
        if page:
            self.tonight.first = 0
            self.mode = self.pages[page]
        else:
            self.app.pop_screen()

    def action_act(self, action: str) -> None:
        """Do what a key stands for; then the evening may have to be worked out."""
        super().action_act(action)
        self._work_out_time()

    def on_screen_resume(self) -> None:
        """Read anew how it stands: a piece may have been made meanwhile."""
        pace = self.companion.pace
        pace.renew()
        pace.want_fit()
        self.companion.read_times()
        self.mode.said = finished_news(pace) or self.mode.said
        self._read_documents()
        self._read_order()
        self.lots.read()
        self.times_read()

    def documents_changed(self) -> None:
        """Read the commission and the settings anew."""
        self.on_screen_resume()

    def _read_documents(self) -> None:
        """Take the commission as it stands in its file now; say what is wrong with it."""
        companion = self.companion
        companion.read_settings_again()
        self.figures.work = companion.settings.work
        try:
            self.commission, self.wrong = commission_in_file(
                self.companion.library, self.commission_name
            )
        except (DocumentError, Fault) as error:
            self.mode.said = str(error)
            return
        self.mode.said = self.wrong or self.mode.said
        self.figures.title = self.commission.title
        self.lots.keep_to(len(self.commission.lots))

    def _read_order(self) -> None:
        """Show notes and order as they are at once, also what is not saved yet."""
        app, journal = self.companion, self.companion.journal
        if journal is None:
            return
        try:
            book = open_book(app.library, journal, self.commission_name)
            self.figures.title = book.heading
            pieces = read_pieces(journal, book)
            self.notes.notes = read_notes(journal, book, pieces)
            self.order.lines = order_lines(journal, app, book)
            account = read_account(journal, book.id, book.commission, book.history)
            self.figures.money = money_words(account)
            accepted = account.acceptance is not None
            place = next_by_place(journal, book, pieces, accepted=accepted)
            self.lots.follow(place, [lot.id for lot in book.commission.lots])
        except (JournalError, DocumentError, Fault) as error:
            self.mode.said = str(error)

    def _note(self) -> None:
        self._open(lambda book: NotesForm(self.companion, book))

    def told(self, said: str) -> None:
        """Say how the piece was left."""
        self.mode.said = said

    def times_read(self) -> None:
        """Work out how the commission stands, in another thread, if its patterns are there."""
        if self.wrong:
            self._failed(self.wrong)
            return
        self.figures.reading = True
        self.redraw()
        if self.companion.pace.known and self.companion.pace.has_fit:
            work_apart(self, "how it stands", self._work_out, self._failed)

    def _work_out(self) -> Callable[[], None]:
        return partial(self._worked_out, *self._read())

    def _read(
        self, instead: Commission | None = None
    ) -> tuple[Overview, NeedsAnswer, Sequence[str]]:
        """Read how it stands and what it still needs; or how it would stand."""
        app = self.companion
        with app.session.another_reader() as reader:
            found = self._overview(reader, instead)
            name = self.commission_name
            told = before_loading(reader, app, name) if instead is None else ()
            promised = promised_twice(reader, app.library, app.settings, name)
            found = replace(found, notes=(*found.notes, *told))
        rest = [
            replace(need, pieces=lot.to_make)
            for need, lot in zip(found.needs, found.progress.lots, strict=True)
            if lot.to_make
        ]
        title = "Still to begin" if rest else "All of it (every piece is begun)"
        if any(lot.settled.is_off for lot in found.progress.lots):
            title = "All of it (it is cancelled: nothing is to be bought)"
        lots, again = rest or found.needs, self.needs.made_again and instead is None
        needs = needs_of(
            *(title, lots, found.shelf, app.settings, found.outcomes),
            to_make=bool(rest),
            made_again=again and bool(rest),
        )
        return found, needs, promised

    def _overview(self, reader: Journal, instead: Commission | None = None) -> Overview:
        app, pace = self.companion, self.companion.pace
        return read_overview(
            reader, app.library, app.settings, self.commission_name, pace.pieces,
            loose_of(pace.pieces), pace.model, self.clock.now(), work_days(pace.pieces), instead,
        )  # fmt: skip

    def _failed(self, said: str) -> None:
        figures = self.figures
        figures.trouble, figures.progress, figures.reading = said, None, False
        self.redraw()

    def _worked_out(self, found: Overview, needs: NeedsAnswer, promised: Sequence[str]) -> None:
        figures = self.figures
        figures.promised = promised
        figures.now, figures.progress = self.clock.now(), found.progress
        left_out = self.companion.pace.finished.left_out
        figures.notes = (*found.notes, *([left_out] if left_out else []))
        figures.materials, figures.needs = found.materials, needs
        figures.used = found.used
        figures.trouble, figures.reading = "", False
        self.tonight.evening = None
        self.lots.read()
        self._work_out_time()
        self.redraw()

    # The time at hand

    def _work_out_time(self) -> None:
        """Lay the evening out, in another thread, if that page is open and it is not known."""
        page = self.tonight
        if self.mode is page and page.evening is None and self.figures.progress is not None:
            work_apart(self, "evening", partial(self._lay_out, *page.asked), self._say, STILL_S)

    def _lay_out(self, seconds: float, stands: int) -> Callable[[], None]:
        app = self.companion
        with app.session.another_reader() as reader:
            book = open_book(app.library, reader, self.commission_name)
            found, now = self._overview(reader), self.clock.now()
            evening = read_tonight(reader, book, found, app.pace.model, now, seconds, stands)
        return partial(self._laid_out, (seconds, stands), evening)

    def _laid_out(self, asked: tuple[float, int], evening: TonightAnswer) -> None:
        if self.tonight.asked == asked:
            self.tonight.evening = evening
            self.redraw()

    def _keep_evening(self, asked: tuple[float, int]) -> None:
        self.companion.session.evening = asked

    def _print_evening(self, evening: TonightAnswer) -> None:
        name = f"{evening.commission}-tonight.html"
        sheet = WrittenSheet("p", "print", name, partial(tonight_html, evening))
        lines = partial(tonight_lines, evening)
        heading = f"{evening.title}: tonight"
        self.app.push_screen(SheetScreen(self.companion, heading, lines, (sheet,)))

    # What else belongs to it

    def _open(self, make: Callable[[CommissionBook], Screen[None]]) -> None:
        """Show a screen of the commission; the page says why where it cannot be."""
        book = self._book()
        try:
            if book is not None:
                self.app.push_screen(make(book))
        except (Fault, DocumentError, JournalError) as error:
            self.mode.said = str(error)

    def _buy(self) -> None:
        needs = self.figures.needs
        if needs is not None:
            title = self.figures.title
            self.app.push_screen(BuyingScreen(self.companion, self.commission_name, title, needs))

    def _sum_up(self) -> None:
        """Sum the commission up in another thread, and show the sheet."""
        self.mode.said = "The sheet is being worked out."
        work = partial(self._read_closing, dt.date.today())
        work_apart(self, "closing", work, self._say)

    def _read_closing(self, today: dt.date) -> Callable[[], None]:
        app = self.companion
        with app.session.another_reader() as reader:
            book = open_book(app.library, reader, self.commission_name)
            found = read_closing(app, reader, book, self._overview(reader), today)
        return partial(self._show_closing, found)

    def _show_closing(self, found: ClosingAnswer) -> None:
        self.mode.said = ""
        self.app.push_screen(closing_sheet(self.companion, found))

    def _say(self, said: str) -> None:
        self.mode.said = said
        self.redraw()

    def _waive(self, number: int, stage: Stage, reason: str | None) -> None:
        """Keep why a lot does not wait for its sample, and begin its piece."""
        book = self._book()
        if book is None:
            return
        said = SampleWaived(book.commission.lots[number].id or "", reason or NO_REASON)
        try:
            write(self.companion, book, (said, book.id, None))
        except (JournalError, Fault) as error:
            self.lots.said = str(error)
            return
        self._start(number, stage)

    # The order

    def _book(self) -> CommissionBook | None:
        """The order with its history; None, and the page says why, where it cannot be read."""
        journal = self.companion.journal
        try:
            if journal is not None:
                return open_book(self.companion.library, journal, self.commission_name)
            self.mode.said = self.companion.cannot_write
        except (JournalError, DocumentError, Fault) as error:
            self.mode.said = str(error)
        return None

    def _change_order(self) -> None:
        book = self._book()
        if book is not None:
            self.app.push_screen(OrderScreen(self.companion, book, self._look_ahead))

    def _begin_order(self) -> None:
        book = self._book()
        if book is not None:
            self.app.push_screen(OrderScreen(self.companion, begun_from(self.companion, book)))

    def _look_ahead(self, draft: Commission, show: Callable[[Sequence[str]], None]) -> None:
        """Work out, in another thread, what a changed order means for days and beads."""

        def ahead() -> Callable[[], None]:
            found, needs, _ = self._read(draft)
            figures = self.figures
            return partial(show, ahead_lines(figures.progress, found.progress, needs, figures.now))

        work_apart(self, "ahead", ahead, lambda wrong: show([wrong]), STILL_S)

    # The pieces of a lot

    def _look(self, lot: int) -> NextPiece:
        """What the keys do with a lot."""
        journal, finished = self.companion.journal, self.companion.pace.pieces
        lots = order_lots(journal, self.commission_name, self.commission)
        ref = lots.ref(self.commission.lots[lot])
        return NextPiece(
            in_hand(journal, lots.refs, ref), number_of_next(journal, finished, lots.refs, ref)
        )

    def _start(self, number: int, stage: Stage) -> None:
        """Begin the next piece of a lot and go to the bench."""
        app, lot = self.companion, self.commission.lots[number]
        book = self._book() if app.journal is not None and not app.looking_on else None
        awaited = sample_awaited(app.journal, book, number) if book and app.journal else ""
        if awaited:
            waive = partial(self._waive, number, stage)
            self.app.push_screen(ReasonEntry(app, f"{awaited}. Why not wait?", WAIVED, waive))
            return
        if app.journal is None or app.cannot_write:
            self.lots.said = app.cannot_write
            return
        try:
            made = app.session.work_up(lot.pattern, lot.size, lot.colourway)
            piece = self._look(number).number
            name, order = self.commission_name, self.commission.id or ""
            app.to_bench(start_of_lot(app.journal, made, name, order, lot, piece, stage))
        except (JournalError, DocumentError, Fault) as error:
            self.lots.said = str(error)
