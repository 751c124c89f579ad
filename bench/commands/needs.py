"""`needs`: beads, thread, wire and notions to have, against the maker's stock."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import pattern_arguments, shelf_of, stock_at_hand
from bench.craft.text import Fault, cleaned
from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.needs import NeedsAnswer
    from bench.commission.inspection import Outcomes
    from bench.commission.needs import WorkedLot
    from bench.documents.library import Library
    from bench.documents.stock import Shelf
    from bench.making.worked_pattern import WorkedPattern


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern or commission, how many pieces, and the stock."""
    pattern_arguments(parser)
    parser.add_argument("--pieces", metavar="N", help="how many pieces of the pattern; else one")
    parser.add_argument(
        "--list", metavar="FILE", type=Path, help="write what to buy as a page to tick (HTML)"
    )
    parser.add_argument(
        "--made-again", action="store_true", help="with pieces that are made again, by your share"
    )
    parser.add_argument("--stock", metavar="FILE", help="your stock (TOML or CSV)")


def answer(args: argparse.Namespace, session: Session) -> NeedsAnswer:
    """Work out what is needed. Raises Fault for a number of pieces that cannot be."""
    from bench.commission.needs import WorkedLot, needs_of
    from bench.documents.writing import write_file
    from bench.sheets.shopping import shopping_html

    shelf = stock_at_hand(session) if args.stock is None else shelf_of(session, args.stock)
    if is_commission(session.library, args.pattern):
        title, lots, outcomes = _of_commission(args, session, shelf)
    else:
        made = _worked_up(session, shelf, args.pattern, args.size, args.colourway)
        title, lots = made.pattern.title, [WorkedLot(made.name, made, _pieces(args.pieces))]
        outcomes = None
    again = args.made_again
    if again and outcomes is None:
        raise Fault("--made-again is for a commission: of a pattern say how many --pieces to begin")
    found = needs_of(title, lots, shelf, session.settings, outcomes, made_again=again)
    if args.list is None:
        return found
    session.warn(write_file(args.list, shopping_html(found), ".html"))
    return replace(found, list=str(args.list))


def sheet(answer: NeedsAnswer) -> Iterable[RenderableType]:
    """The needs in lines."""
    from bench.sheets.needs import needs_lines
    from bench.sheets.printing import line

    return map(line, needs_lines(answer))


def is_commission(library: Library, name: str) -> bool:
    """Whether a name or file is a commission's; Fault if it is no pattern's either."""
    if any(entry.name == name for entry in library.patterns()):
        return False
    if any(entry.name == name for entry in library.commissions()):
        return True
    if name.endswith(".toml") or "/" in name:
        from bench.documents.reading import read_toml

        values, _ = read_toml(library.pattern_path(name))
        return "lots" in values
    entries = (*library.commissions(), *library.patterns())
    known = ", ".join(cleaned(entry.name, 40) for entry in entries[:14])
    raise Fault(f"there is no pattern or commission '{cleaned(name, 60)}'; known: {known}")


def _of_commission(
    args: argparse.Namespace, session: Session, shelf: Shelf
) -> tuple[str, Sequence[WorkedLot], Outcomes | None]:
    """Return the title, what is to be made, and how pieces came out so far.

    What is promised twice is a warning.
    """
    from bench.commission.identity import with_ids
    from bench.commission.inspection import outcomes_of
    from bench.commission.lot_refs import order_lots
    from bench.commission.overview import begun_lots
    from bench.commission.progress import lot_works
    from bench.commission.promises import promised_twice

    if args.pieces is not None or args.size is not None or args.colourway is not None:
        raise Fault(
            "a commission has its own sizes, colourways and pieces; leave these options out"
        )
    library, settings = session.library, session.settings
    path = library.commission_path(args.pattern)
    commission = with_ids(path.stem, library.commission(path))
    works = lot_works(library, commission)
    weighed = tuple(shelf.weighed(settings.stand.scale_g))
    with session.reading() as journal:
        own = order_lots(journal, path.stem, commission)
        if own.cancelled is not None:
            session.warn(f"'{path.stem}' is cancelled since {own.cancelled.words}")
        lots = begun_lots(journal, library, settings, own, works, weighed)
        if args.stock is None:
            session.warn(*promised_twice(journal, library, settings, path.stem))
        outcomes = outcomes_of(journal.pieces(open_only=False))
    return commission.title, lots, outcomes


def _worked_up(
    session: Session, shelf: Shelf, pattern: str, size: str | None, colourway: str | None
) -> WorkedPattern:
    """Work a pattern up, as measured pieces and weighed beads have corrected it."""
    from bench.making.calibration import read_calibration
    from bench.making.worked_pattern import WorkedPattern

    name = session.library.pattern_path(pattern).stem
    in_stock = tuple(shelf.weighed(session.settings.stand.scale_g))
    calibration, trouble = read_calibration(
        session.home, session.settings, name, size, colourway, in_stock
    )
    if trouble is not None and trouble not in session.warnings:
        session.warnings.append(trouble)
    return WorkedPattern.from_library(
        session.library, session.settings, pattern, size, colourway, calibration
    )


def _pieces(text: str | None) -> int:
    try:
        pieces = int(text) if text is not None else 1
    except ValueError:
        pieces = 0
    if not 1 <= pieces <= 100_000:
        found = cleaned(text or "", 20)
        raise Fault(f"--pieces takes a whole number from 1 to 100000; found '{found}'")
    return pieces
