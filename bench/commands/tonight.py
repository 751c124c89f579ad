"""`tonight`: what to load, braid and dress in the hours at hand, by promised day."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import number
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.tonight import TonightAnswer

MOST_H = 24


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, the hours and the stands."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("--hours", metavar="H", default="2.5", help="at hand; 2.5 if not said")
    parser.add_argument("--stands", metavar="N", help="stands that are free; else all of yours")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write it as a sheet to print")


def answer(args: argparse.Namespace, session: Session) -> TonightAnswer:
    """Put the lots in their turn and lay the evening out."""
    from bench.commands.orders import order_of, overview_of
    from bench.commission.tonight import read_tonight
    from bench.craft.text import Fault
    from bench.documents.writing import write_file
    from bench.journal.clock import SystemClock
    from bench.sheets.tonight import tonight_html

    hours = number(args.hours, "hours")
    stands = session.settings.stand.stands
    if args.stands is not None:
        stands = int(number(args.stands, "stands"))
    if not 0 < hours <= MOST_H or not 1 <= stands <= 20:
        raise Fault(f"an evening has up to {MOST_H} hours, on 1 to 20 stands")
    now = SystemClock().now()
    with session.reading() as journal:
        book = order_of(session, journal, args.commission)
        pace, found = overview_of(session, journal, args.commission, book, now)
        told = read_tonight(journal, book, found, pace.model, now, 3600 * hours, stands)
    if args.html is None:
        return told
    session.warn(write_file(args.html, tonight_html(told), ".html"))
    return replace(told, file=str(args.html))


def sheet(answer: TonightAnswer) -> Iterable[str]:
    """The evening, the turns, the promised days."""
    from bench.sheets.tonight import tonight_lines

    return tonight_lines(answer)
