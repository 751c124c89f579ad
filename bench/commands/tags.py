"""`tags`: a tag for each piece of a commission, to print and cut."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.orders import order_of
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.tags import TagsAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, a lot, the size of a tag, and the file."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("--lot", metavar="LOT", help="of that lot alone")
    parser.add_argument("--tag", metavar="WxH", default="60x22", help="its size in mm; 60x22")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write them as a page to cut")


def answer(args: argparse.Namespace, session: Session) -> TagsAnswer:
    """Name every piece, begun or not."""
    from bench.commission.pieces import read_pieces
    from bench.commission.tags import tags_of
    from bench.documents.writing import write_file
    from bench.sheets.tags import tags_html

    wide, high = _size(args.tag)
    with session.reading() as journal:
        book = order_of(session, journal, args.commission)
        titles = {lot.pattern: _title(session, lot.pattern) for lot in book.commission.lots}
        told = tags_of(book, read_pieces(journal, book), titles, args.lot, wide, high)
    if args.html is None:
        return told
    session.warn(write_file(args.html, tags_html(told), ".html"))
    return replace(told, file=str(args.html))


def sheet(answer: TagsAnswer) -> Iterable[str]:
    """Each tag on a line."""
    from bench.sheets.tags import tags_lines

    return list(tags_lines(answer))


def _title(session: Session, pattern: str) -> str:
    return session.library.plan(session.library.pattern_path(pattern)).pattern.title


def _size(text: str) -> tuple[float, float]:
    from bench.craft.text import Fault, cleaned

    match = re.fullmatch(r"(\d{1,3}(?:\.\d)?)x(\d{1,3}(?:\.\d)?)", text)
    if match is None or not (15 <= float(match[1]) <= 190 and 8 <= float(match[2]) <= 277):
        found = cleaned(text, 20)
        raise Fault(f"--tag takes a size as 60x22, from 15x8 to 190x277 mm; found '{found}'")
    return float(match[1]), float(match[2])
