"""`commission`: make a commission and change it; each version is kept with its day and reason."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench.commands.options import day_that_was, day_to_come
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.commission import CommissionAnswer
    from bench.commission.book import CommissionBook
    from bench.documents.commission import Commission, Lot
    from bench.journal.commission_payloads import CommissionPutAway

TERMS = {
    "deposit": ("deposit_percent", "PERCENT", "of the whole price"),
    "tax": ("tax_percent", "PERCENT", "as your tax office says"),
    "discount": ("discount_percent", "PERCENT", "off the whole price"),
    "holds-until": ("holds_until", "DATE", "the last day of the offer"),
    "design-hours": ("design_hours", "H", "drawing and talking, charged at your rate"),
    "notions": ("notions", "AMOUNT", "boxes, findings, post"),
    "note": ("note", "TEXT", "a line for the customer's sheet"),
}
"""Options of the terms: the key, what they take, what they say."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, and what is to change."""
    parser.add_argument("commission", metavar="NAME", help="its name, or its file")
    whole = parser.add_argument_group("the whole")
    whole.add_argument("--new", action="store_true", help="begin a commission of that name")
    whole.add_argument("--title", metavar="TEXT")
    whole.add_argument("--for", dest="whom", metavar="TEXT", help="for whom, a free line")
    whole.add_argument("--due", metavar="DATE", help="as 2027-05-01, or none")
    for option, (_, metavar, says) in TERMS.items():
        whole.add_argument(f"--{option}", metavar=metavar, help=says)
    lot = parser.add_argument_group("one lot")
    lot.add_argument("--lot", metavar="LOT", help="the lot that changes, or is new")
    lot.add_argument("--pattern", metavar="PATTERN")
    lot.add_argument("--size", metavar="SIZE", help="or none")
    lot.add_argument("--colourway", metavar="COLOURWAY", help="or none")
    lot.add_argument("--pieces", metavar="N", help="how many; +3 and -3 are more and fewer")
    lot.add_argument("--lot-due", metavar="DATE", help="its own day, or none")
    lot.add_argument("--price", metavar="AMOUNT", help="agreed for a piece, or none")
    lot.add_argument("--rename", metavar="LOT")
    lot.add_argument("--out", action="store_true", help="take the lot out")
    lot.add_argument("--before", metavar="LOT", help="make it before that one; last: behind all")
    kept = parser.add_argument_group("the change")
    kept.add_argument("--because", metavar="TEXT", default="", help="why, kept with the change")
    kept.add_argument("--cancel", action="store_true", help="it is cancelled; --because says why")
    kept.add_argument("--go-on", action="store_true", help="it is not cancelled after all")
    over = kept.add_mutually_exclusive_group()
    over.add_argument("--put-away", action="store_true", help="off the first list, once it is over")
    over.add_argument("--call-back", action="store_true", help="onto the first list again")
    other = kept.add_mutually_exclusive_group()
    other.add_argument(
        "--take", action="store_true", help="take over another bench's change, or its order"
    )
    other.add_argument("--over", action="store_true", help="keep this in place of that")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write the order as a sheet")
    kept.add_argument("--on", metavar="DATE", help="when it was agreed; without it, today")
    kept.add_argument(
        "--made-more",
        choices=("charged", "stock"),
        default="",
        help="pieces made beyond a lowered count or of a cancelled order: charged, or stock",
    )


def answer(args: argparse.Namespace, session: Session) -> CommissionAnswer:
    """Read the commission; change and keep it where that is asked for."""
    from bench.commission.book import cancel, keep, new_book, open_book
    from bench.commission.commission_answer import commission_answer
    from bench.commission.versions import differences
    from bench.craft.text import check_name, plain
    from bench.documents.writing import write_file
    from bench.journal.commission_payloads import CommissionCancelled
    from bench.journal.events import Entry, new_id
    from bench.sheets.commission import commission_html

    day = day_that_was(args.on, "on")
    came = args.take and _has_come(session, args.commission)
    if args.new:
        check_name(args.commission, "a new commission's")
        book = new_book(session.library, args.commission, _first(args))
    else:
        with session.reading() as journal:
            book = open_book(session.library, journal, args.commission)
    now = book.commission if came else _taken(book, args)
    changed = _changed(now, args)
    _check_other_bench(session, book, args, now != changed)
    _check_lots(session, () if args.new else book.commission.lots, changed)
    said: tuple[str, ...] = ("taken over from another bench",) if came else ()
    if args.new or changed != book.commission:
        said = ("begun",) if args.new else tuple(differences(book.commission, changed))
        entries = keep(book, changed, day, plain(args.because), args.made_more)
    else:
        entries = book.first(day) if book.changed_by_file else ()
    if args.cancel or args.go_on:
        cancelled = CommissionCancelled(day.isoformat(), plain(args.because), undone=True)
        if args.cancel:
            cancelled = cancel(book, day, plain(args.because), args.made_more)
        first = () if entries else book.first(day)
        entries = (*first, *entries, Entry(cancelled, book.id, uuid=new_id()))
    if args.put_away or args.call_back:
        away = _turned_away(session, book, args)
        said = (*said, "called back" if away.undone else "put away")
        first = () if entries else book.first(day)
        entries = (*first, *entries, Entry(away, book.id, uuid=new_id()))
    waits = write_down(session, entries)
    if entries and not waits:
        book = _again(session, book)
    told = commission_answer(book, changed, said, waits=waits)
    if args.html is not None:
        session.warn(write_file(args.html, commission_html(told), ".html"))
    return told


def _turned_away(
    session: Session, book: CommissionBook, args: argparse.Namespace
) -> CommissionPutAway:
    """The event that puts the order away, or calls it back. Raises Fault while it is not over."""
    from bench.commission.putting_away import calling_back, putting_away

    day = day_that_was(args.on, "on")
    if args.call_back:
        return calling_back(book, day)
    with session.reading() as journal:
        return putting_away(journal, book, day)


def _has_come(session: Session, name: str) -> bool:
    """Write the file of an order that came in from another bench; say whether there is such a one.

    Its name is the one that `import` has told.
    """
    from bench.commission.elsewhere import take_over, without_file

    with session.reading() as journal:
        came = without_file(journal, session.library)
        if name not in came:
            return False
        take_over(journal, session.library, name, came[name])
    return True


def _taken(book: CommissionBook, args: argparse.Namespace) -> Commission:
    """What is changed: the order of the file, or with --take that of the other bench."""
    if not args.take:
        return book.commission
    from bench.craft.text import Fault

    if not book.elsewhere:
        raise Fault(f"no other bench has another version of '{book.name}'")
    return book.joined(book.elsewhere[-1])


def _check_other_bench(
    session: Session, book: CommissionBook, args: argparse.Namespace, is_changed: bool
) -> None:
    """Tell that another bench has another version; refuse a change that would undo it unsaid."""
    from bench.commission.versions import differences
    from bench.craft.text import Fault

    if args.new or args.take or not book.elsewhere:
        return
    other = "; ".join(differences(book.commission, book.joined(book.elsewhere[-1])))
    said = f"another bench has changed '{book.name}' ({other}): --take takes that over first"
    if is_changed and not args.over:
        raise Fault(f"{said}, --over keeps your change in its place")
    if not is_changed:
        session.warn(said)


def _again(session: Session, book: CommissionBook) -> CommissionBook:
    from bench.commission.book import open_book

    with session.reading() as journal:
        return open_book(session.library, journal, book.name)


def sheet(answer: CommissionAnswer) -> Iterable[str]:
    """The order, its lots and its history."""
    from bench.sheets.commission import commission_lines

    return commission_lines(answer)


def _first(args: argparse.Namespace) -> Commission:
    """The commission that is begun: with its first lot. Raises Fault without one."""
    from bench.commission.changing import with_lot
    from bench.craft.text import Fault
    from bench.documents.commission import Commission

    if args.lot is None:
        raise Fault("a commission begins with a lot: say --lot, --pattern and --pieces")
    bare = Commission.model_construct(format=1, title=args.title or args.commission, lots=())
    return with_lot(bare, args.lot, _lot_values(args, 0))


def _changed(commission: Commission, args: argparse.Namespace) -> Commission:
    from bench.commission.changing import (
        moved_before,
        with_lot,
        with_terms,
        with_values,
        without_lot,
    )

    whole: dict[str, Any] = {}
    if args.title is not None:
        whole["title"] = args.title
    if args.whom is not None:
        whole["whom"] = args.whom
    if args.due is not None:
        whole["due"] = day_to_come(args.due, "due")
    changed = with_values(commission, **whole) if whole else commission
    terms = {}
    for option, (key, _, _) in TERMS.items():
        value = getattr(args, option.replace("-", "_"))
        if value is not None:
            terms[key] = _term(key, value)
    changed = with_terms(changed, terms) if terms else changed
    if args.lot is None:
        return changed
    if args.out:
        return without_lot(changed, args.lot)
    known = next((lot for lot in changed.lots if args.lot in (lot.name, lot.id)), None)
    values = _lot_values(args, known.pieces if known is not None else 0)
    if values or known is None:
        changed = with_lot(changed, args.lot, values)
    if args.before is not None:
        name = args.rename or args.lot
        changed = moved_before(changed, name, None if args.before == "last" else args.before)
    return changed


def _term(key: str, value: str) -> Any:
    if key == "holds_until":
        return day_to_come(value, "holds-until")
    return None if value == "none" else value


def _lot_values(args: argparse.Namespace, pieces: int) -> dict[str, Any]:
    """What is said of the lot."""
    values: dict[str, Any] = {}
    for key, word in (("name", args.rename), ("pattern", args.pattern)):
        if word is not None:
            values[key] = word
    for key, word in (("size", args.size), ("colourway", args.colourway), ("price", args.price)):
        if word is not None:
            values[key] = None if word == "none" else word
    if args.lot_due is not None:
        values["due"] = day_to_come(args.lot_due, "lot-due")
    if args.pieces is not None:
        values["pieces"] = _count(args.pieces, pieces)
    return values


def _count(text: str, before: int) -> int:
    from bench.craft.text import Fault, cleaned

    if not re.fullmatch(r"[+-]?\d{1,7}", text):
        raise Fault(f"--pieces takes a number, +3 or -3; found '{cleaned(text, 20)}'")
    return before + int(text) if text[0] in "+-" else int(text)


def _check_lots(session: Session, before: Sequence[Lot], commission: Commission) -> None:
    """Raise Fault for a changed lot whose pattern, size or colourway is not there.

    Of one that was so before it is a warning: lots are mended one by one.
    """
    from bench.craft.text import Fault

    for lot in commission.lots:
        try:
            plan = session.library.plan(session.library.pattern_path(lot.pattern))
            plan.pattern.resolve(lot.size, lot.colourway)
        except Fault as fault:
            if lot not in before:
                raise Fault(f"lot '{lot.name}': {fault}") from None
            session.warn(f"lot '{lot.name}': {fault}")
