"""`hang`: which piece of a commission hangs where, and the thread to cut for each."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench.commands.options import grams_list, number
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.hanging import HangAnswer
    from bench.commission.book import CommissionBook
    from bench.commission.hanging_plan import HangingPlan, NamedPiece
    from bench.documents.commission import Commission
    from bench.journal.events import Entry
    from bench.making.worked_pattern import WorkedPattern


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, its places, a swap, and the files to write."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    places = parser.add_argument_group("its places, kept with the order")
    places.add_argument("--shape", choices=("rail", "hoop", "window"))
    places.add_argument("--places", metavar="X:DROP,…", help="each place in mm, as 0:40,30:80")
    places.add_argument("--evenly", metavar="N", help="so many places, evenly")
    places.add_argument("--width", metavar="MM", help="of a rail with places evenly")
    places.add_argument("--diameter", metavar="MM", help="of a hoop")
    places.add_argument("--drops", metavar="MM,…", help="the drops of even places, in turn")
    places.add_argument("--alike", choices=("kind", "colourway"), help="what makes two alike")
    found = parser.add_argument_group("the arrangement")
    found.add_argument("--keep", action="store_true", help="keep what is worked out")
    found.add_argument("--anew", action="store_true", help="work it out again, near what is kept")
    found.add_argument("--swap", metavar="PLACE", nargs=2, help="exchange two places and keep that")
    hung = parser.add_mutually_exclusive_group()
    hung.add_argument("--without", metavar="LOT", help="that lot does not hang")
    hung.add_argument("--with", dest="with_lot", metavar="LOT", help="that lot hangs after all")
    parser.add_argument("--svg", metavar="FILE", type=Path, help="write the drawing")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write drawing and cut list")


def answer(args: argparse.Namespace, session: Session) -> HangAnswer:
    """Work the arrangement out, or tell the one that is kept; write what is asked for."""
    from bench.commission.book import keep, open_book
    from bench.commission.changing import with_values
    from bench.commission.hanging_plan import hang_answer, pieces_of, plan_of
    from bench.commission.pieces import read_pieces
    from bench.journal.commission_payloads import HangingKept
    from bench.journal.events import Entry, new_id

    entries: list[Entry] = []
    with session.reading() as journal:
        book = open_book(session.library, journal, args.commission)
        hanging = _hanging(args, book)
        changed = _without(args, book.commission)
        if hanging is not None:
            changed = with_values(changed, hanging=hanging)
        before, is_changed = book, changed != book.commission
        book = replace(book, commission=changed)
        found = read_pieces(journal, book)
        pieces = pieces_of(changed, found, _worked(session, book), session.settings)
        plan = plan_of(journal, book, pieces, anew=args.anew or is_changed)
        if args.swap is not None:
            keys = plan.swapped(*(int(number(text, "swap")) for text in args.swap))
            entries.append(Entry(HangingKept(keys), book.id, uuid=new_id()))
        elif args.keep:
            entries.append(Entry(HangingKept(plan.keys), book.id, uuid=new_id()))
        if is_changed:
            entries = [*keep(before, changed, dt.date.today()), *entries]
        elif entries and not book.history.versions:
            entries = [*book.first(dt.date.today()), *entries]
    waits = write_down(session, entries)
    if args.swap is not None:
        plan = _again(session, book, pieces)
    return replace(_written(args, session, hang_answer(book, plan)), waits=waits)


def _again(session: Session, book: CommissionBook, pieces: Sequence[NamedPiece]) -> HangingPlan:
    from bench.commission.hanging_plan import plan_of

    with session.reading() as journal:
        return plan_of(journal, book, pieces, anew=False)


def _worked(session: Session, book: CommissionBook) -> dict[str, WorkedPattern]:
    return {
        lot.id or "": session.work_up(lot.pattern, lot.size, lot.colourway)
        for lot in book.commission.lots
    }


def _without(args: argparse.Namespace, commission: Commission) -> Commission:
    """The commission with a lot left out of the hanging, or taken in again."""
    from bench.commission.changing import with_lot

    for name, hangs in ((args.without, False), (args.with_lot, True)):
        if name is not None:
            return with_lot(commission, commission.lot(name).name, {"hangs": hangs})
    return commission


def _hanging(args: argparse.Namespace, book: CommissionBook) -> dict[str, Any] | None:
    """The places as they are said now; None where nothing is said of them."""
    from bench.craft.text import Fault

    said = (args.shape, args.places, args.evenly, args.width, args.diameter, args.drops, args.alike)
    if all(one is None for one in said):
        return None
    known = book.commission.hanging
    values: dict[str, Any] = {"places": ()} if known is None else known.model_dump()
    if args.shape is not None:
        values["shape"] = args.shape
    if args.alike is not None:
        values["alike"] = args.alike
    if args.diameter is not None:
        values["diameter_mm"] = number(args.diameter, "diameter")
    if args.places is not None:
        values["places"] = [_place(text) for text in args.places.split(",")]
    if args.evenly is not None:
        values["places"] = _even(args, values)
    if not values["places"]:
        raise Fault("say where pieces hang: --places, or --evenly N with --width MM")
    return values


def _place(text: str) -> tuple[float, float]:
    from bench.craft.text import Fault, cleaned

    x, colon, drop = text.partition(":")
    if not colon:
        found = cleaned(text, 20)
        raise Fault(f"--places takes places as 0:40,30:80, in mm; found '{found}'")
    return number(x, "places"), number(drop, "places")


def _even(args: argparse.Namespace, values: dict[str, Any]) -> list[tuple[float, float]]:
    """Places at equal distances along the rail, or round the hoop."""
    import math

    from bench.craft.text import Fault

    count = int(number(args.evenly, "evenly"))
    if not 1 <= count <= 1000:
        raise Fault("--evenly takes a number of places from 1 to 1000")
    drops = grams_list(args.drops, "drops") if args.drops else (50.0,)
    if values.get("shape") == "hoop":
        step = math.pi * (values.get("diameter_mm") or 0.0) / count
    elif args.width is not None:
        step = number(args.width, "width") / max(1, count - 1)
    else:
        raise Fault("--evenly takes the --width of the rail too, or --shape hoop --diameter MM")
    return [(round(at * step, 1), drops[at % len(drops)]) for at in range(count)]


def _written(args: argparse.Namespace, session: Session, told: HangAnswer) -> HangAnswer:
    from bench.documents.writing import write_file
    from bench.sheets.hanging import hanging_html, hanging_svg

    if args.svg is not None:
        session.warn(write_file(args.svg, hanging_svg(told), ".svg"))
    if args.html is not None:
        session.warn(write_file(args.html, hanging_html(told), ".html"))
    return replace(told, files=tuple(str(f) for f in (args.svg, args.html) if f is not None))


def sheet(answer: HangAnswer) -> Iterable[str]:
    """The list, the drawing, the cut list."""
    from bench.sheets.hanging import hanging_lines

    return hanging_lines(answer)
