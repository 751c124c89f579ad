"""`needs`: beads, thread, wire and notions to have, against the maker's stock."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.desk import Desk, pattern_arguments
from bench.commands.preparing import shelf_of
from bench.craft.text import Fault, cleaned

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.contract.preparing import NeedsOut
    from bench.library import Library
    from bench.needs import Order
    from bench.stock import Shelf
    from bench.workup import Workup


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the pattern or run, how many pieces, and the stock."""
    pattern_arguments(parser)
    parser.add_argument("--pieces", metavar="N", help="how many pieces of the pattern; else one")
    parser.add_argument("--stock", metavar="FILE", help="your stock (TOML or CSV)")


def answer(args: argparse.Namespace, desk: Desk) -> NeedsOut:
    """Work out what is needed. Raises Fault for a number of pieces that cannot be."""
    from bench.needs import needs_of

    shelf = shelf_of(desk, args.stock)
    title, orders = _orders(args, desk, shelf)
    return needs_of(title, orders, shelf, desk.settings)


def sheet(answer: NeedsOut) -> Iterable[RenderableType]:
    """The needs in lines."""
    from bench.sheets.preparing import needs_lines
    from bench.sheets.printing import line

    return map(line, needs_lines(answer))


def is_run(library: Library, name: str) -> bool:
    """Whether a name or file is a run's. Raises Fault if it is neither a run's nor a pattern's."""
    if any(entry.name == name for entry in library.patterns()):
        return False
    if any(entry.name == name for entry in library.runs()):
        return True
    if name.endswith(".toml") or "/" in name:
        from bench.documents import read_toml

        values, _ = read_toml(library.pattern_path(name))
        return "lots" in values
    entries = (*library.runs(), *library.patterns())
    known = ", ".join(cleaned(entry.name, 40) for entry in entries[:14])
    raise Fault(f"there is no pattern or commission '{cleaned(name, 60)}'; known: {known}")


def _orders(args: argparse.Namespace, desk: Desk, shelf: Shelf) -> tuple[str, list[Order]]:
    """Return the title and what is to be made, for a pattern's name or a run's."""
    from bench.needs import Order

    if not is_run(desk.library, args.pattern):
        made = _worked_up(desk, shelf, args.pattern, args.size, args.colourway)
        return made.pattern.title, [Order(made.name, made, _pieces(args.pieces))]
    if args.pieces is not None or args.size is not None or args.colourway is not None:
        raise Fault(
            "a commission has its own sizes, colourways and pieces; leave these options out"
        )
    run = desk.library.run(desk.library.run_path(args.pattern))
    orders = [
        Order(lot.name, _worked_up(desk, shelf, lot.pattern, lot.size, lot.colourway), lot.pieces)
        for lot in run.lots
    ]
    return run.title, orders


def _worked_up(
    desk: Desk, shelf: Shelf, pattern: str, size: str | None, colourway: str | None
) -> Workup:
    """Work a pattern up, as measured pieces and weighed beads have corrected it."""
    from bench.measured import read_past
    from bench.workup import work_up

    name = desk.library.pattern_path(pattern).stem
    in_stock = tuple(shelf.weighed(desk.settings.stand.scale_g))
    past, trouble = read_past(desk.home, desk.settings, name, size, colourway, in_stock)
    if trouble is not None and trouble not in desk.warnings:
        desk.warnings.append(trouble)
    return work_up(desk.library, desk.settings, pattern, size, colourway, past)


def _pieces(text: str | None) -> int:
    try:
        pieces = int(text) if text is not None else 1
    except ValueError:
        pieces = 0
    if not 1 <= pieces <= 100_000:
        found = cleaned(text or "", 20)
        raise Fault(f"--pieces takes a whole number from 1 to 100000; found '{found}'")
    return pieces
