"""`sheet`: the loading sheet, as text, JSON or an HTML page to print."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.loading_sheet import LoadingSheet


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern and the page to write."""
    pattern_arguments(parser)
    parser.add_argument(
        "--html", metavar="FILE", type=Path, help="also write a page to print, in black and white"
    )


def answer(args: argparse.Namespace, session: Session) -> LoadingSheet:
    """Put the sheet together; with --html, write the page. Raises DocumentError if it cannot."""
    from bench.making.loading_sheet import sheet_of

    made = session.work_up(args.pattern, args.size, args.colourway)
    sheet = sheet_of(made, session.settings)
    if args.html is not None:
        from bench.documents.writing import write_file
        from bench.sheets.loading_html import sheet_html

        session.warn(write_file(args.html, sheet_html(sheet), ".html"))
    return sheet


def sheet(answer: LoadingSheet) -> Iterable[RenderableType]:
    """One page of text."""
    from bench.sheets.loading import sheet_lines
    from bench.sheets.printing import line

    return map(line, sheet_lines(answer))
