"""`recipe`: the card of a sample as it was made, and what is different by now."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.recipe import RecipeAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, the lot, and the file."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("lot", metavar="LOT", help="the lot whose sample it is")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write the card as a page")


def answer(args: argparse.Namespace, session: Session) -> RecipeAnswer:
    """Read the sample's recipe from the journal."""
    from bench.commission.book import open_book
    from bench.commission.pieces import read_pieces
    from bench.commission.recipe import recipe_answer, sample_piece
    from bench.documents.writing import write_file
    from bench.making.braid import Braid
    from bench.making.worked_pattern import WorkedPattern
    from bench.sheets.recipe import recipe_html

    with session.reading() as journal:
        book = open_book(session.library, journal, args.commission)
        lot = book.commission.lot(args.lot)
        piece = sample_piece(read_pieces(journal, book), lot)
        made = WorkedPattern.for_piece(Braid(journal, piece.state.uuid), session.settings)
        today = session.work_up(lot.pattern, lot.size, lot.colourway)
        told = recipe_answer(journal, book, lot, piece, made, today, session.settings)
    if args.html is None:
        return told
    session.warn(write_file(args.html, recipe_html(told), ".html"))
    return replace(told, file=str(args.html))


def sheet(answer: RecipeAnswer) -> Iterable[str]:
    """The card."""
    from bench.sheets.recipe import recipe_lines

    return recipe_lines(answer)
