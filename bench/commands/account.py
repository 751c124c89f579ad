"""`account`: what is due for a commission, what came in, what is still to pay."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import day_that_was
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.money import AccountAnswer
    from bench.commission.account import Account
    from bench.commission.book import CommissionBook
    from bench.journal.commission_payloads import Move
    from bench.journal.payload_base import Payload


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, and money that moved."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    moved = parser.add_mutually_exclusive_group()
    moved.add_argument("--deposit", metavar="AMOUNT", help="the deposit came in, or part of it")
    moved.add_argument("--payment", metavar="AMOUNT", help="another payment came in")
    moved.add_argument("--refund", metavar="AMOUNT", help="money went back")
    moved.add_argument(
        "--undo", metavar="WHAT", help="take back `accepted`, or the last `deposit`, `payment`,"
        " `refund`"
    )  # fmt: skip
    parser.add_argument("--html", metavar="FILE", type=Path, help="write the customer's sheet")
    parser.add_argument("--note", metavar="TEXT", default="", help="kept with the money")
    parser.add_argument("--on", metavar="DATE", help="on that day; without it, today")


def answer(args: argparse.Namespace, session: Session) -> AccountAnswer:
    """Write down what moved, and tell how it stands."""
    from bench.commission.money_answers import account_answer
    from bench.documents.writing import write_file
    from bench.journal.events import Entry, new_id
    from bench.sheets.account import account_html

    book, found = _read(session, args.commission)
    said = _said(args, session, found)
    waits = False
    if said is not None:
        day = day_that_was(args.on, "on")
        waits = write_down(session, [*book.first(day), Entry(said, book.id, uuid=new_id())])
        book, found = _read(session, args.commission)
    told = replace(account_answer(book, found, session.settings.work.currency), waits=waits)
    if args.html is None:
        return told
    session.warn(write_file(args.html, account_html(told), ".html"))
    return replace(told, file=str(args.html))


def _read(session: Session, name: str) -> tuple[CommissionBook, Account]:
    from bench.commission.account import read_account
    from bench.commission.book import open_book

    with session.reading() as journal:
        book = open_book(session.library, journal, name)
        return book, read_account(journal, book.id, book.commission, book.history)


def _said(args: argparse.Namespace, session: Session, found: Account) -> Payload | None:
    from bench.commission.money import read_amount, shown
    from bench.craft.text import plain
    from bench.journal.commission_payloads import CommissionUndone, MoneyMoved

    if args.undo is not None:
        return CommissionUndone(found.event_of(args.undo))
    day = day_that_was(args.on, "on").isoformat()
    currency = session.settings.work.currency
    if found.acceptance is not None:
        currency = found.acceptance.said.currency
    moves: tuple[tuple[Move, str | None], ...] = (
        ("deposit", args.deposit),
        ("payment", args.payment),
        ("refund", args.refund),
    )
    for what, amount in moves:
        if amount is not None:
            text = shown(read_amount(amount, f"--{what}"))
            return MoneyMoved(what, text, currency, day, plain(args.note))
    return None


def sheet(answer: AccountAnswer) -> Iterable[str]:
    """What is due, what came in, what is still to pay."""
    from bench.sheets.account import account_lines

    return account_lines(answer)
