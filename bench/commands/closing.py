"""`closing`: what a commission took, held against its offer; the figures for the invoice."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.orders import order_of, overview_of
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.closing import ClosingAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, and the file to write."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    files = parser.add_mutually_exclusive_group()
    files.add_argument("--csv", metavar="FILE", type=Path, help="write the invoice's figures")
    files.add_argument("--html", metavar="FILE", type=Path, help="write the whole sheet")


def answer(args: argparse.Namespace, session: Session) -> ClosingAnswer:
    """Sum the commission up."""
    from bench.commission.account import read_account
    from bench.commission.closing_answer import closing_answer
    from bench.commission.finished_stock import read_finished
    from bench.commission.pieces import read_pieces
    from bench.commission.pricing import read_offer
    from bench.documents.writing import write_file
    from bench.journal.clock import SystemClock
    from bench.sheets.closing import closing_html, invoice_csv

    now = SystemClock().now()
    with session.reading() as journal:
        book = order_of(session, journal, args.commission)
        pace, found = overview_of(session, journal, args.commission, book, now)
        account = read_account(journal, book.id, book.commission, book.history)
        following = None
        if session.settings.work.hourly_rate is not None:
            following = read_offer(
                journal, session.library, session.settings, book.commission, pace.model,
                dt.date.today(),
            )  # fmt: skip
        stock = read_finished(journal, session.library)
        told = closing_answer(book, found, account, following, stock, read_pieces(journal, book))
    if args.csv is not None:
        session.warn(write_file(args.csv, invoice_csv(told), ".csv"))
    elif args.html is not None:
        session.warn(write_file(args.html, closing_html(told), ".html"))
    file = args.csv or args.html
    return told if file is None else replace(told, file=str(file))


def sheet(answer: ClosingAnswer) -> Iterable[str]:
    """The closing sheet."""
    from bench.sheets.closing import closing_lines

    return closing_lines(answer)
