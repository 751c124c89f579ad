"""The closing sheet of a commission: read as its command reads it, shown, printed, as CSV."""

from __future__ import annotations

import datetime as dt
from functools import partial

from bench.answers.closing import ClosingAnswer
from bench.commission.account import read_account
from bench.commission.book import CommissionBook
from bench.commission.closing_answer import closing_answer
from bench.commission.finished_stock import read_finished
from bench.commission.overview import Overview
from bench.commission.pieces import read_pieces
from bench.commission.pricing import read_offer
from bench.journal.store import Journal
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.lists.written_sheets import WrittenSheet
from bench.sheets.closing import closing_html, closing_lines, invoice_csv


def read_closing(
    companion: ListsCompanion,
    journal: Journal,
    book: CommissionBook,
    found: Overview,
    today: dt.date,
) -> ClosingAnswer:
    """Sum a commission up. Raises DocumentError, JournalError or Fault as reading it does."""
    account = read_account(journal, book.id, book.commission, book.history)
    settings, following = companion.settings, None
    if settings.work.hourly_rate is not None:
        following = read_offer(
            journal, companion.library, settings, book.commission, companion.pace.model, today
        )
    stock = read_finished(journal, companion.library)
    return closing_answer(book, found, account, following, stock, read_pieces(journal, book))


def closing_sheet(companion: ListsCompanion, found: ClosingAnswer) -> SheetScreen:
    """The sheet on the screen, with the keys that print it and write the invoice's figures."""
    name = f"{found.commission}-closing"
    written = (
        WrittenSheet("p", "print", f"{name}.html", partial(closing_html, found)),
        WrittenSheet("c", "invoice CSV", f"{name}.csv", partial(invoice_csv, found)),
    )
    heading = f"{found.title}: closing sheet"
    return SheetScreen(companion, heading, partial(closing_lines, found), written)
