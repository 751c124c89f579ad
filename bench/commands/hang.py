"""`hang`: which piece of a commission hangs where, and the thread to cut for each."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench.commands.options import number
from bench.commands.orders import order_of
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.hanging import HangAnswer
    from bench.commission.book import CommissionBook
    from bench.commission.hanging_places import Places
    from bench.commission.hanging_plan import HangingPlan, NamedPiece
    from bench.documents.commission import Commission
    from bench.journal.events import Entry
    from bench.making.worked_pattern import WorkedPattern


VALUES = {
    "diameter": ("diameter_mm", "MM", "of a hoop"),
    "near": ("near_mm", "MM", "places in a window that are no further apart are neighbours"),
    "level": ("level_mm", "MM", "two that differ by less hang level"),
    "room": ("room_mm", "MM", "to be left between two beside each other"),
    "knots": ("knots_mm", "MM", "of each thread, for its knots"),
}
"""Options that are numbers: the key each sets, what it takes and says."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, its places, a swap, and the files to write."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    places = parser.add_argument_group("its places, kept with the order")
    places.add_argument("--shape", choices=("rail", "hoop", "window"))
    places.add_argument("--places", metavar="X:DROP,…", help="each place in mm, as 0:40,30:80")
    places.add_argument("--evenly", metavar="N", help="so many places, evenly")
    places.add_argument("--width", metavar="MM", help="of a rail with places evenly")
    places.add_argument("--drops", metavar="MM,…", help="how far down, in turn along the places")
    for option, (_, metavar, says) in VALUES.items():
        places.add_argument(f"--{option}", metavar=metavar, help=says)
    places.add_argument("--alike", choices=("kind", "colourway"), help="what makes two alike")
    places.add_argument(
        "--made-by-place", choices=("yes", "no"), help="begin pieces in the order of their places"
    )
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
    from bench.commission.book import keep
    from bench.commission.changing import with_values
    from bench.commission.hanging_plan import hang_answer, kept_as, pieces_of, plan_of
    from bench.commission.pieces import read_pieces
    from bench.journal.events import Entry, new_id

    entries: list[Entry] = []
    with session.reading() as journal:
        book = order_of(session, journal, args.commission)
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
            entries.append(Entry(kept_as(journal, book, keys), book.id, uuid=new_id()))
        elif args.keep or args.made_by_place == "yes":
            entries.append(Entry(kept_as(journal, book, plan.keys), book.id, uuid=new_id()))
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

    said = {option: getattr(args, option) for option in VALUES}
    places = (args.shape, args.places, args.evenly, args.width, args.drops)
    chosen = (args.alike, args.made_by_place)
    if all(one is None for one in (*places, *chosen, *said.values())):
        return None
    known = book.commission.hanging
    values: dict[str, Any] = {"places": ()} if known is None else known.model_dump()
    for option, text in said.items():
        if text is not None:
            values[VALUES[option][0]] = number(text, option)
    for key in ("shape", "alike"):
        if getattr(args, key) is not None:
            values[key] = getattr(args, key)
    if args.made_by_place is not None:
        values["made_by_place"] = args.made_by_place == "yes"
    values["places"] = _places(args, values)
    if not values["places"]:
        raise Fault("say where pieces hang: --places, or --evenly N with --width MM")
    return values


def _places(args: argparse.Namespace, values: dict[str, Any]) -> Places:
    """The places: said one by one, evenly, or those that there are, with other drops."""
    from bench.commission.hanging_places import (
        drops_of,
        even_places,
        places_of,
        round_of,
        with_drops,
    )
    from bench.craft.text import Fault

    known: Places = values["places"] if args.places is None else places_of(args.places)
    drops = None if args.drops is None else drops_of(args.drops)
    if args.evenly is None:
        return known if drops is None else with_drops(known, drops)
    count = int(number(args.evenly, "evenly"))
    if values.get("shape") == "hoop":
        length = round_of(values.get("diameter_mm") or 0.0)
    elif args.width is not None:
        length = number(args.width, "width")
    else:
        raise Fault("--evenly takes the --width of the rail too, or --shape hoop --diameter MM")
    return even_places(count, length, drops or (50.0,), ring=values.get("shape") == "hoop")


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
