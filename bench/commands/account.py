"""`account`: what is due for a commission, what came in, what is still to pay."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import day_of, day_that_was
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.money import AccountAnswer
    from bench.commission.account import Account
    from bench.commission.book import CommissionBook
    from bench.commission.part_deliveries import Handed
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
        "--agreed", action="store_true", help="the customer agrees to the order as it was changed"
    )
    moved.add_argument(
        "--undo", metavar="WHAT", help="take back `accepted`, `agreed`, or the last `deposit`,"
        " `payment`, `refund`"
    )  # fmt: skip
    parser.add_argument(
        "--part", metavar="DATE", help="what was handed over on that day, with what is due for it"
    )
    files = parser.add_mutually_exclusive_group()
    files.add_argument("--html", metavar="FILE", type=Path, help="write the customer's sheet")
    files.add_argument(
        "--csv", metavar="FILE", type=Path, help="write the invoice's figures of a --part"
    )
    parser.add_argument("--note", metavar="TEXT", default="", help="kept with the money")
    parser.add_argument("--on", metavar="DATE", help="on that day; without it, today")


def answer(args: argparse.Namespace, session: Session) -> AccountAnswer:
    """Write down what moved, and tell how it stands."""
    from bench.commission.money_answers import account_answer, letter_of, part_of_day
    from bench.craft.text import Fault
    from bench.documents.writing import write_file
    from bench.journal.events import Entry, new_id
    from bench.sheets.account import account_html
    from bench.sheets.part_delivery import part_csv, part_html

    if args.csv is not None and args.part is None:
        raise Fault("say --part: of which day; the whole's figures are those of `closing --csv`")
    book, found, handed = _read(session, args.commission)
    said = _said(args, session, found)
    waits = False
    if said is not None:
        day = day_that_was(args.on, "on")
        waits = write_down(session, [*book.first(day), Entry(said, book.id, uuid=new_id())])
        book, found, handed = _read(session, args.commission)
    letter = letter_of(session.settings.shop, dt.date.today())
    told = account_answer(book, found, session.settings.work.currency, letter, handed)
    told = replace(told, waits=waits)
    part = None
    if args.part is not None:
        of_day = day_of(args.part, "part")
        if of_day is None:
            raise Fault("say --part: of which day, as 2027-05-01")
        part = part_of_day(told, of_day.isoformat())
        told = replace(told, parts=(part,), day=part.day)
    file = args.html or args.csv
    if file is None:
        return told
    if args.csv is not None and part is not None:
        text = part_csv(told, part)
    else:
        text = account_html(told) if part is None else part_html(told, part)
    session.warn(write_file(file, text, ".html" if args.csv is None else ".csv"))
    return replace(told, file=str(file))


def _read(session: Session, name: str) -> tuple[CommissionBook, Account, Sequence[Handed]]:
    from bench.commission.account import read_account
    from bench.commission.book import open_book
    from bench.commission.part_deliveries import handed_over
    from bench.commission.pieces import read_pieces

    with session.reading() as journal:
        book = open_book(session.library, journal, name)
        account = read_account(journal, book.id, book.commission, book.history)
        return book, account, handed_over(read_pieces(journal, book))


def _said(args: argparse.Namespace, session: Session, found: Account) -> Payload | None:
    from bench.commission.money import read_amount, shown
    from bench.craft.text import plain
    from bench.journal.commission_payloads import CommissionUndone, MoneyMoved

    if args.undo is not None:
        return CommissionUndone(found.event_of(args.undo))
    day = day_that_was(args.on, "on").isoformat()
    if args.agreed:
        return found.agreement(day)
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
    """What is due, what came in, what is still to pay; what was handed over on which day."""
    from bench.sheets.account import account_lines
    from bench.sheets.part_delivery import part_lines

    return account_lines(answer) if answer.day is None else part_lines(answer, answer.parts[0])
