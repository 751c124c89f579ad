"""`recipe`: the card of a sample as it was made, and what is different by now."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import number
from bench.commands.orders import order_of
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.recipe import RecipeAnswer

MOST_PIECES = 10_000


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, the lot, and the file."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("lot", metavar="LOT", help="the lot whose sample it is")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write the card as a page")
    parser.add_argument("--pieces", metavar="N", default="1", help="tell what differs for so many")
    parser.add_argument("--again", metavar="NAME", help="begin a commission of them from it")


def answer(args: argparse.Namespace, session: Session) -> RecipeAnswer:
    """Read the sample's recipe from the journal; begin a commission from it."""
    from bench.commission.again import begun_again
    from bench.commission.book import keep
    from bench.commission.origin import like_of
    from bench.commission.recipe import card_of, read_recipe
    from bench.craft.text import Fault, check_name
    from bench.documents.writing import write_file
    from bench.journal.clock import SystemClock
    from bench.sheets.recipe import recipe_html

    pieces = int(number(args.pieces, "pieces"))
    if not 1 <= pieces <= MOST_PIECES:
        raise Fault(f"--pieces takes a number from 1 to {MOST_PIECES:,}")
    if args.again is not None:
        check_name(args.again, "a new commission's")
    with session.reading() as journal:
        book = order_of(session, journal, args.commission)
        lot = book.commission.lot(args.lot)
        model = session.pace(journal, SystemClock().now().wall).model
        told = read_recipe(
            journal, session.library, session.settings, book, lot, model, pieces
        )  # fmt: skip
        card = card_of(journal, session.library, book, lot)
        like = like_of(card.piece, card.book)
    if args.again is not None:
        more = lot.model_copy(update={"pieces": pieces, "like": like})
        new = begun_again(session.library, book, more, args.again, f"{lot.name}, again")
        entries = keep(new, new.commission, dt.date.today(), f"as {lot.name} of {book.name}")
        told = replace(told, begun=new.name, waits=write_down(session, entries))
    if args.html is None:
        return told
    session.warn(write_file(args.html, recipe_html(told), ".html"))
    return replace(told, file=str(args.html))


def sheet(answer: RecipeAnswer) -> Iterable[str]:
    """The card."""
    from bench.sheets.recipe import recipe_lines

    return recipe_lines(answer)
