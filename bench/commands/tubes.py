"""`tubes`: tubes of beads and spools of thread: bought, opened, counted, empty, given away."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from bench.commands.options import number, shelf_of
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.tubes import TubesAnswer
    from bench.commission.stock_tubes import Difference
    from bench.commission.tube_book import Tube
    from bench.journal.events import Entry
    from bench.journal.payload_base import Payload
    from bench.journal.store import Journal
    from bench.journal.tube_payloads import Counting, TubeContent, TubeLabelled, TubeTaken

MOST = 200


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take what happened to a tube; a tube is named by its id's beginning, or its only name."""
    act = parser.add_mutually_exclusive_group()
    act.add_argument(
        "--buy", metavar="NAME",
        help="beads (--size), thread (--metres), wire (--wire --metres), notions (--pieces)",
    )  # fmt: skip
    act.add_argument("--ask", metavar="NAME", help="as --buy: only its --price was asked")
    act.add_argument("--open", metavar="TUBE", help="it is opened")
    act.add_argument("--empty", metavar="TUBE", help="it is empty")
    act.add_argument("--count", metavar="TUBE", help="--beads, --metres, or --gross and --tare")
    act.add_argument("--give-away", metavar="TUBE", help="so many --beads or --metres of it")
    act.add_argument(
        "--draw", metavar="PIECE", help="what a piece took that was loaded without the program"
    )
    act.add_argument(
        "--label", metavar="TUBE", help="its --dye-lot, --number, --price, --shop, --place"
    )
    act.add_argument("--undo", metavar="TUBE", help="what was said of it last is taken back")
    act.add_argument(
        "--take-in", metavar="FILE", nargs="?", const="", help="a stock file; without FILE, yours"
    )
    parser.add_argument("--wire", action="store_true", help="what is bought is wire for cores")
    for option, says in (("accept", "as a count"), ("refuse", "until the file changes")):
        parser.add_argument(
            f"--{option}", metavar="TUBE", nargs="*",
            help=f"{option} what a file offers, {says}: of these tubes, or of all",
        )  # fmt: skip
    for option, metavar, says in (
        ("size", "SIZE", "of the beads, as 11/0"), ("shape", "SHAPE", "round if not said"),
        ("colour", "COLOUR", "as #9fb8c8"), ("tubes", "N", "so many alike"),
        ("beads", "N", "how many beads"), ("grams", "G", "what a tube holds"),
        ("metres", "M", "how much thread or wire"), ("pieces", "N", "how many end beads or caps"),
        ("gross", "G", "weighed with the tube"),
        ("tare", "G", "the empty tube"), ("dye-lot", "LOT", "as printed on the tube"),
        ("number", "NUMBER", "the maker's"), ("shop", "SHOP", "where it is bought"),
        ("place", "PLACE", "where it is kept"), ("price", "AMOUNT", "of a tube"),
        ("because", "TEXT", "why it is given away"),
    ):  # fmt: skip
        parser.add_argument(f"--{option}", metavar=metavar, help=says)


def answer(args: argparse.Namespace, session: Session) -> TubesAnswer:
    """Write down what happened, and tell of all tubes."""
    from bench.commission.promises import promised_twice
    from bench.commission.tube_book import read_tubes
    from bench.commission.tubes_answer import tubes_answer
    from bench.commission.undrawn import not_drawn

    offered: list[Difference] = []
    with session.reading() as journal:
        tubes = read_tubes(journal)
        if args.take_in is not None or args.accept is not None or args.refuse is not None:
            entries, done, offered = _taken_in(args, session, journal, tubes)
        else:
            entries, done = _happened(args, session, journal, tubes)
    waits = write_down(session, entries)
    with session.reading() as journal:
        tubes = read_tubes(journal)
        session.warn(*promised_twice(journal, session.library, session.settings))
        session.warn(*not_drawn(journal, [*tubes.values()]))
    return tubes_answer(tubes.values(), tuple(done), offered, waits=waits)


def sheet(answer: TubesAnswer) -> Iterable[str]:
    """A line for each tube."""
    from bench.sheets.tubes import tubes_lines

    return tubes_lines(answer)


def _taken_in(
    args: argparse.Namespace, session: Session, journal: Journal, tubes: Mapping[str, Tube]
) -> tuple[list[Entry], list[str], list[Difference]]:
    """New tubes of a file, and what it says otherwise of those that are known."""
    from bench.commission.stock_tubes import accepted, differences, refused, tubes_in
    from bench.craft.text import Fault
    from bench.craft.words import plural
    from bench.journal.events import Entry, new_id

    acts = (
        *(args.buy, args.ask, args.open, args.empty, args.count, args.give_away, args.draw),
        *(args.label, args.undo),
    )
    if any(act is not None for act in acts):
        raise Fault("--accept and --refuse answer a stock file; say the other thing by itself")
    shelf = shelf_of(session, args.take_in or None)
    if shelf.file is None:
        raise Fault(f"there is no stock.toml or stock.csv in {session.home}; say which file")
    session.warn(*shelf.warnings)
    thumb = session.settings.thumb
    file = list(tubes_in(shelf, thumb.tube_g, thumb.spool_m, dt.date.today().isoformat()))
    new = [one for one in file if one.id not in tubes]
    entries = [Entry(one.taken, one.id, uuid=new_id()) for one in new]
    offered = differences(file, tubes, own=not args.take_in)
    done = [f"{plural(len(new), 'tube')} taken in"] if new else []
    for option, take in (("accept", True), ("refuse", False)):
        named = getattr(args, option)
        if named is None:
            continue
        chosen = [one for one in offered if not named or _is_named(one.tube, named)]
        if len(chosen) < len(named) or not chosen:
            raise Fault(f"--{option}: the file offers nothing else of what is named")
        for one in chosen:
            said = accepted(journal, one) if take else refused(one)
            entries.append(Entry(said, one.tube.id, uuid=new_id()))
        how = "kept as the file says" if take else "refused, until the file changes"
        done.append(f"{plural(len(chosen), 'count')} {how}")
        offered = [one for one in offered if one not in chosen]
    return entries, done or ["the file says nothing new"] * (not offered), offered


def _drawn(
    name: str, session: Session, journal: Journal, tubes: Mapping[str, Tube]
) -> tuple[list[Entry], list[str]]:
    """Draw what a piece took that was loaded without the program."""
    from bench.commission.later_draws import draws_for
    from bench.commission.undrawn import undrawn
    from bench.craft.text import Fault, cleaned
    from bench.craft.words import plural
    from bench.journal.events import Entry, new_id

    left = undrawn(journal, [*tubes.values()])
    state = next((one for one in left if len(name) >= 6 and one.uuid.startswith(name)), None)
    if state is None:
        known = "; ".join(f"{one.uuid[:8]} {one.name}" for one in left[:6]) or "none"
        raise Fault(f"--draw: there is no such piece '{cleaned(name, 40)}'; there are: {known}")
    draws = draws_for(journal, session.library, session.settings, state)
    entries = [Entry(one, state.uuid, uuid=new_id()) for one in draws]
    count = plural(len({one.tube for one in draws}), "tube")
    return entries, [f"{state.name}: drawn from {count}"]


def _is_named(tube: Tube, names: Sequence[str]) -> bool:
    return any(len(name) >= 6 and tube.id.startswith(name.casefold()) for name in names)


def _happened(
    args: argparse.Namespace, session: Session, journal: Journal, tubes: Mapping[str, Tube]
) -> tuple[list[Entry], list[str]]:
    from bench.commission.tube_book import seen_by, taking_back, tube_called
    from bench.craft.text import Fault, plain
    from bench.journal.events import Entry, new_id
    from bench.journal.tube_payloads import TubeCounted, TubeGivenAway, TubeOpened

    if args.buy is not None:
        count = int(number(args.tubes or "1", "tubes"))
        if not 1 <= count <= MOST:
            raise Fault(f"--tubes takes a number from 1 to {MOST}")
        taken = _bought(args)
        return [Entry(taken, new_id(), uuid=new_id()) for _ in range(count)], [
            f"bought: {count} × {taken.size} {taken.name}".replace("  ", " ")
        ]
    if args.ask is not None:
        asked = replace(_bought(args), source="asked")
        if asked.price is None:
            raise Fault("--ask takes a --price")
        said_of = f"asked: {asked.size} {asked.name}, {asked.price}".replace("  ", " ")
        return [Entry(asked, new_id(), uuid=new_id())], [said_of]
    if args.draw is not None:
        return _drawn(args.draw, session, journal, tubes)
    named = (args.open, args.empty, args.count, args.give_away, args.undo, args.label)
    name = next((name for name in named if name is not None), None)
    if name is None:
        return [], []
    tube = tube_called(tubes, name)
    said: Payload
    if tube.is_asked and args.undo is None and args.label is None:
        raise Fault(f"{tube.short} {tube.name}: only its price was asked; --buy keeps it as bought")
    if args.label is not None:
        said, what = _labelled(args, tube), "labelled"
    elif args.undo is not None:
        said, what = taking_back(tube), f"taken back {tube.last_words}"
    elif args.open is not None:
        if tube.opened:
            raise Fault(f"{tube.short} {tube.name} is open already; open another one, or buy it")
        said, what = TubeOpened(), "opened"
    elif args.empty is not None:
        said, what = TubeCounted(0.0, 0.0, "empty", seen_by(journal)), "empty"
    elif args.count is not None:
        held, error, how = _counted(args, session, tube)
        said = TubeCounted(held, error, how, seen_by(journal))
        what = f"counted anew: {held:.0f}"
    else:
        said = TubeGivenAway(_amount(args, tube), plain(args.because or ""))
        what = "given away"
    return [Entry(said, tube.id, uuid=new_id())], [f"{tube.short} {tube.name}: {what}"]


def _labelled(args: argparse.Namespace, tube: Tube) -> TubeLabelled:
    """What is put onto a tube afterwards. Raises Fault for nothing, and for what cannot be."""
    from bench.commission.money import read_amount, shown
    from bench.commission.tube_entry import checked, labelled
    from bench.craft.text import Fault, plain
    from bench.journal.tube_payloads import TubeLabelled

    texts = (args.dye_lot, args.number, args.shop, args.place)
    dye_lot, own, shop, place = (None if text is None else plain(text) for text in texts)
    price = None if args.price is None else shown(read_amount(args.price, "--price"))
    said = TubeLabelled(dye_lot, own, price, shop, place)
    if said == TubeLabelled():
        raise Fault("say what stands on it: --dye-lot, --number, --price, --shop or --place")
    checked(labelled(tube.taken, said))
    return said


def _bought(args: argparse.Namespace) -> TubeTaken:
    """A tube or spool as it is bought. Raises Fault where its size or content is not known."""
    from bench.commission.money import read_amount, shown
    from bench.commission.tube_entry import checked
    from bench.craft.beads import find, mass_g
    from bench.craft.text import Fault, plain
    from bench.journal.tube_payloads import TubeTaken

    price = None if args.price is None else shown(read_amount(args.price, "--price"))
    day = dt.date.today().isoformat()
    name, lot, own = (
        plain(text or "") for text in (args.buy or args.ask, args.dye_lot, args.number)
    )
    shop, place = (plain(text or "") for text in (args.shop, args.place))
    if args.wire and args.metres is None:
        raise Fault("wire is bought with --metres")
    option = "pieces" if args.pieces is not None and not args.wire else "metres"
    if (amount := getattr(args, option)) is not None:
        what: TubeContent = "wire" if args.wire else "thread" if option == "metres" else "notion"
        return checked(
            TubeTaken(what, name, number(amount, option), day, "bought", dye_lot=lot, number=own,
                      shop=shop, place=place, price=price)
        )  # fmt: skip
    if args.size is None or (args.grams is None and args.beads is None):
        raise Fault(
            "beads are bought with --size, and --grams or --beads; thread with --metres; end beads"
            " and caps with --pieces"
        )
    shape = args.shape or "round"
    grams = None if args.grams is None else number(args.grams, "grams")
    if args.beads is not None:
        held = number(args.beads, "beads")
    else:
        try:
            held = round((grams or 0.0) / mass_g(find(args.size, shape)))
        except ValueError as error:
            raise Fault(f"{error}; or say --beads") from None
    return checked(
        TubeTaken("beads", name, held, day, "bought", args.size, shape, args.colour, lot, own, shop,
                  place, price, grams)
    )  # fmt: skip


def _counted(
    args: argparse.Namespace, session: Session, tube: Tube
) -> tuple[float, float, Counting]:
    """What a count says, give or take what: by the beads, or by weighing gross less tare.

    Each of the two weighings can be off by half of what the scale resolves.
    """
    from bench.commission.tube_entry import bead_g_of
    from bench.craft.text import Fault

    if args.gross is None:
        return _amount(args, tube), 0.0, "counted"
    gross, tare = number(args.gross, "gross"), number(args.tare or "0", "tare")
    if tare > gross:
        raise Fault(f"--tare {tare:g} is more than --gross {gross:g}")
    each = bead_g_of(tube.taken)
    return round((gross - tare) / each), session.settings.stand.scale_g / each, "weighed"


def _amount(args: argparse.Namespace, tube: Tube) -> float:
    from bench.commission.tube_entry import unit_of
    from bench.craft.text import Fault

    unit = unit_of(tube.taken)
    option = "metres" if unit == "m" else unit
    text = getattr(args, option)
    if text is None:
        weighed = ", or --gross and --tare" if unit == "beads" else ""
        raise Fault(f"say how much: --{option}{weighed}")
    return number(text, option)
