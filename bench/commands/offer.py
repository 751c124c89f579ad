"""`offer`: what a commission costs; the customer's sheet; accepted, it is frozen."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import day_that_was
from bench.commands.orders import order_of
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.money import OfferAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, the files to write, and whether it is accepted."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write the customer's sheet")
    parser.add_argument("--text", metavar="FILE", type=Path, help="write the customer's text")
    parser.add_argument("--accept", action="store_true", help="it is accepted, and frozen")
    parser.add_argument("--on", metavar="DATE", help="on that day; without it, today")


def answer(args: argparse.Namespace, session: Session) -> OfferAnswer:
    """Work the offer out, or tell the accepted one; write what is asked for."""
    from bench.commission.account import read_account
    from bench.commission.forecast import level_of
    from bench.commission.money_answers import (
        acceptance_of,
        accepted_answer,
        letter_of,
        offer_answer,
    )
    from bench.commission.pricing import read_offer
    from bench.craft.text import Fault
    from bench.journal.clock import SystemClock
    from bench.journal.events import Entry, new_id

    day = day_that_was(args.on, "on")
    letter = letter_of(session.settings.shop, day)
    with session.reading() as journal:
        book = order_of(session, journal, args.commission)
        account = read_account(journal, book.id, book.commission, book.history)
        if account.acceptance is not None:
            if args.accept:
                raise Fault(
                    f"the offer was accepted on {account.acceptance.said.day}; take that back"
                    " first (`account COMMISSION --undo accepted`)"
                )
            return _written(args, session, accepted_answer(book, account.acceptance, letter))
        model = session.pace(journal, SystemClock().now().wall).model
        found = read_offer(journal, session.library, session.settings, book.commission, model, day)
    level = level_of(model.is_guess)
    told = _written(args, session, offer_answer(book, found, level, letter))
    if not args.accept:
        return told
    if found.holds_until < day:
        session.warn(f"the offer held until {found.holds_until}; it is accepted all the same")
    said = acceptance_of(found, level, day.isoformat())
    waits = write_down(session, [*book.first(day), Entry(said, book.id, uuid=new_id())])
    return replace(told, accepted=said.day, waits=waits)


def _written(args: argparse.Namespace, session: Session, told: OfferAnswer) -> OfferAnswer:
    from bench.documents.writing import write_file
    from bench.sheets.offer import customer_lines, offer_html

    if args.html is not None:
        session.warn(write_file(args.html, offer_html(told), ".html"))
    if args.text is not None:
        session.warn(write_file(args.text, "\n".join(customer_lines(told)) + "\n", ".txt"))
    file = args.html or args.text
    return told if file is None else replace(told, file=str(file))


def sheet(answer: OfferAnswer) -> Iterable[str]:
    """The customer's text, then what is the maker's alone."""
    from bench.sheets.offer import customer_lines, maker_lines

    return [*customer_lines(answer), "", "", *maker_lines(answer)]
