"""`card`: for a customer, the sizes and colourways of a pattern side by side, in true size."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import number
from bench.craft.text import Fault, cleaned
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.card import CardAnswer

OWN = "own"
"""How the pattern's own size and colours are named in a list."""
MOST_PIECES = 60


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern, what of it is shown, and where it is drawn."""
    from bench.sheets.card_words import FIGURES, USUAL_FIGURES

    usual = ",".join(USUAL_FIGURES)
    parser.add_argument("pattern", metavar="PATTERN", help="its name in the library, or its file")
    for what in ("sizes", "colourways"):
        parser.add_argument(
            f"--{what}", metavar="NAME,…", help=f"which, '{OWN}' for the pattern's own; else all"
        )
    parser.add_argument(
        "--figures",
        metavar="WHAT,…",
        default=usual,
        help=f"of {', '.join(FIGURES)}; '' for none (default: {usual})",
    )
    parser.add_argument(
        "--price", metavar="AMOUNT", help="of each piece, or by size as own=40,small=32"
    )
    parser.add_argument("--html", metavar="FILE", type=Path, help="write a page that prints 1 : 1")
    parser.add_argument("--svg", metavar="FILE", type=Path, help="draw it into an SVG file")


def answer(args: argparse.Namespace, session: Session) -> CardAnswer:
    """Work every size and colourway up, and draw them. Raises Fault for names that are not there.

    Beads that a colourway leaves as they were are a warning.
    """
    from bench.documents.writing import write_file
    from bench.making.card_answer import card_answer, left_as_designed
    from bench.sheets.card_html import card_html
    from bench.sheets.card_svg import card_drawing

    pattern = session.library.plan(session.library.pattern_path(args.pattern)).pattern
    sizes = _chosen(args.sizes, pattern.sizes, "sizes")
    colourways = _chosen(args.colourways, pattern.colourways, "colourways")
    if len(sizes) * len(colourways) > MOST_PIECES:
        raise Fault(f"a card has {MOST_PIECES} pieces at most; choose --sizes or --colourways")
    prices = _prices(args.price, sizes)
    made = [session.work_up(args.pattern, s, c) for s in sizes for c in colourways]
    session.warnings[:] = dict.fromkeys(session.warnings)
    session.warn(*left_as_designed(pattern, filter(None, colourways)))
    card = card_answer(pattern.title, made, _figures(args.figures), prices, session.settings)
    card = replace(
        card,
        html=None if args.html is None else str(args.html),
        svg=None if args.svg is None else str(args.svg),
    )
    if args.html is not None:
        session.warn(write_file(args.html, card_html(card), ".html"))
    if args.svg is not None:
        session.warn(write_file(args.svg, card_drawing(card), ".svg"))
    return card


def sheet(answer: CardAnswer) -> Iterable[RenderableType]:
    """The pieces side by side."""
    from bench.sheets.card import lines

    return lines(answer)


def _chosen(text: str | None, known: Iterable[str], what: str) -> list[str | None]:
    """The names that were asked for, or all; None stands for the pattern's own."""
    names = list(known)
    if text is None:
        return [None, *names]
    found: list[str | None] = []
    for word in filter(None, (word.strip() for word in text.split(","))):
        if word not in (OWN, *names):
            raise Fault(
                f"the pattern has no {what[:-1]} '{cleaned(word, 40)}';"
                f" known: {', '.join((OWN, *names))}"
            )
        found.append(word if word in names else None)
    if not found:
        raise Fault(f"--{what} names at least one of: {', '.join((OWN, *names))}")
    return list(dict.fromkeys(found))


def _figures(text: str) -> tuple[str, ...]:
    from bench.sheets.card_words import FIGURES

    found = [word.strip() for word in text.split(",") if word.strip()]
    for word in found:
        if word not in FIGURES:
            known = ", ".join(FIGURES)
            raise Fault(f"--figures knows {known}; found '{cleaned(word, 40)}'")
    return tuple(figure for figure in FIGURES if figure in found)


def _prices(text: str | None, sizes: list[str | None]) -> dict[str | None, float | None]:
    """The price of each size. Raises Fault for a size that is not on the card."""
    if text is None:
        return dict.fromkeys(sizes)
    if "=" not in text:
        return dict.fromkeys(sizes, number(text, "price"))
    by_name = {size or OWN: size for size in sizes}
    found: dict[str | None, float | None] = dict.fromkeys(sizes)
    for word in filter(None, text.split(",")):
        name, _, amount = (part.strip() for part in word.partition("="))
        if name not in by_name:
            raise Fault(
                f"--price: the card has no size '{cleaned(name, 40)}'; it has {', '.join(by_name)}"
            )
        found[by_name[name]] = number(amount, "price")
    return found
