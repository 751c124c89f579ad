"""`picture`: what the braid will look like, as predicted."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.picture import PictureAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern and where to draw it."""
    pattern_arguments(parser)
    parser.add_argument("--svg", metavar="FILE", type=Path, help="draw it into an SVG file too")


def answer(args: argparse.Namespace, session: Session) -> PictureAnswer:
    """Lay the beads, and draw them into a file if one is named."""
    from bench.making.picture_answer import picture_of

    picture = picture_of(session.work_up(args.pattern, args.size, args.colourway), session.settings)
    if args.svg is None:
        return picture
    from bench.documents.writing import write_file
    from bench.sheets.picture_svg import drawing

    session.warn(write_file(args.svg, drawing(picture), ".svg"))
    return replace(picture, svg=str(args.svg))


def sheet(answer: PictureAnswer) -> Iterable[RenderableType]:
    """The columns unrolled, and the braid from the side."""
    from bench.sheets.picture import lines

    return lines(answer)
