"""`finished`: finished pieces of no order: sold, lent, given away, lost, and back again."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from bench.commands.options import day_that_was
from bench.commands.pieces_book import told
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.finished import FinishedAnswer
    from bench.commission.finished_stock import StockPiece
    from bench.journal.events import Entry
    from bench.journal.inspection_payloads import BackInStock, Leave, LeftStock


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take pieces and what becomes of them; a piece is named by its id's beginning, or its name."""
    parser.add_argument(
        "pieces", metavar="PIECE", nargs="*", help="by its id, or as 'Plum 3 of stair-window'"
    )
    act = parser.add_mutually_exclusive_group()
    act.add_argument("--sold", metavar="AMOUNT", help="each of them is sold for so much")
    act.add_argument(
        "--lent", metavar="AMOUNT", nargs="?", const="", help="lent; AMOUNT: what that brings"
    )
    act.add_argument("--given-away", action="store_true", help="given away")
    act.add_argument("--lost", action="store_true", help="lost, or broken beyond mending")
    act.add_argument("--back", action="store_true", help="in stock again, as after a loan")
    act.add_argument("--undo", action="store_true", help="it never left: that is taken back")
    parser.add_argument("--on", metavar="DATE", help="on that day; without it, today")


def answer(args: argparse.Namespace, session: Session) -> FinishedAnswer:
    """Write down what became of pieces, and tell of the whole finished stock."""
    from bench.commission.finished_stock import read_finished
    from bench.commission.finished_stock_answer import finished_answer

    with session.reading() as journal:
        pieces = read_finished(journal, session.library)
    entries, done = _happened(args, session, pieces)
    waits = write_down(session, entries)
    with session.reading() as journal:
        pieces = read_finished(journal, session.library)
    return finished_answer(pieces, tuple(done), waits=waits)


def sheet(answer: FinishedAnswer) -> Iterable[str]:
    """A line for each piece."""
    from bench.sheets.finished import finished_lines

    return finished_lines(answer)


def _happened(
    args: argparse.Namespace, session: Session, pieces: Sequence[StockPiece]
) -> tuple[list[Entry], list[str]]:
    from bench.commission.finished_stock import called
    from bench.craft.text import Fault

    said = _said(args, session)
    chosen = {piece.state.uuid: piece for piece in (called(pieces, one) for one in args.pieces)}
    if said is None:
        if chosen:
            raise Fault("say what becomes of it: --sold, --lent, --given-away, --lost, --back")
        return [], []
    if not chosen:
        known = "; ".join(f"{piece.short} {piece.name}" for piece in pieces[:6])
        raise Fault(f"say which pieces, by their ids; there are: {known or 'none'}")
    payload, what = said
    wrong = next(_misplaced(chosen.values(), payload), None)
    if wrong is not None:
        raise Fault(wrong)
    entries = [told(payload, uuid) for uuid in chosen]
    return entries, [f"{what}: {', '.join(piece.name for piece in chosen.values())}"]


def _misplaced(pieces: Iterable[StockPiece], said: LeftStock | BackInStock) -> Iterator[str]:
    """Pieces that cannot leave, for they have left, or cannot come back, for they are there."""
    from bench.journal.inspection_payloads import LeftStock

    for piece in pieces:
        is_away = piece.state.away is not None
        can = piece.is_there if isinstance(said, LeftStock) else is_away
        if not can:
            yield f"{piece.short} {piece.name} is {piece.says}"


def _said(args: argparse.Namespace, session: Session) -> tuple[LeftStock | BackInStock, str] | None:
    from bench.commission.finished_stock import left_with
    from bench.commission.money import read_amount, shown
    from bench.journal.inspection_payloads import BackInStock

    day = day_that_was(args.on, "on").isoformat()
    if args.back:
        return BackInStock(day), "back in stock"
    if args.undo:
        return BackInStock(day, True), "in stock, as if it had never left"
    ways: tuple[tuple[Leave, bool, str | None], ...] = (
        ("sold", args.sold is not None, args.sold),
        ("lent", args.lent is not None, args.lent),
        ("given away", args.given_away, None),
        ("lost", args.lost, None),
    )
    for how, is_it, amount in ways:
        if is_it:
            price = shown(read_amount(amount, f"--{how}")) if amount else None
            return left_with(how, day, price, session.settings.work.currency), how
    return None
