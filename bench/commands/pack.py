"""`pack`: pieces into trays, handed over, given back for repair; what is promised and spare."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import day_that_was
from bench.commands.pieces_book import told, with_pieces, written
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.pieces import PiecesAnswer
    from bench.commission.book import CommissionBook
    from bench.commission.pieces import CommissionPieces, LotPiece, Status
    from bench.journal.events import Entry
    from bench.journal.payload_base import Payload


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, pieces or lots, and what becomes of them."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument(
        "pieces", metavar="PIECE", nargs="*", help="pieces as 'Plum 3', or whole lots"
    )
    act = parser.add_mutually_exclusive_group()
    act.add_argument("--tray", metavar="TRAY", help="they go into that tray")
    act.add_argument("--out", action="store_true", help="they come out of their trays")
    act.add_argument("--deliver", action="store_true", help="they are handed over")
    act.add_argument("--not-delivered", action="store_true", help="they were not, after all")
    act.add_argument("--back", metavar="REASON", help="they come back for repair")
    act.add_argument("--mended", action="store_true", help="they are mended")
    act.add_argument(
        "--to-stock", action="store_true", help="out of their lot, into the finished stock"
    )
    act.add_argument(
        "--into", metavar="LOT", help="pieces by their ids, of stock or made away, are put into it"
    )
    parser.add_argument("--on", metavar="DATE", help="on that day; without it, today")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write the packing list")


def answer(args: argparse.Namespace, session: Session) -> PiecesAnswer:
    """Write down what becomes of them, and tell how the pieces stand."""
    from bench.sheets.pieces_html import packing_html

    def deed(
        book: CommissionBook, found: CommissionPieces
    ) -> tuple[Sequence[Entry], Sequence[str]]:
        if args.into is not None:
            return _put_into(args, session, book, found)
        return _said(args, found)

    answer = with_pieces(session, args.commission, deed)
    return written(session, answer, args.html, packing_html)


def sheet(answer: PiecesAnswer) -> Iterable[str]:
    """Counts by lot and tray."""
    from bench.sheets.pieces import packing_lines

    return packing_lines(answer)


def _said(
    args: argparse.Namespace, found: CommissionPieces
) -> tuple[Sequence[Entry], Sequence[str]]:
    from bench.commission.pieces import numbered_names
    from bench.craft.text import Fault, cleaned

    asked = _asked(args)
    if asked is None:
        return [], []
    payload, allowed, what = asked
    named = {p.state.uuid: p for name in args.pieces for p in found.called(name)}
    if not named and args.deliver:
        named = {p.state.uuid: p for p in found.pieces if p.status == "packed"}
    if not named:
        raise Fault("say which pieces: as 'Plum 3', or a whole lot by its name")
    chosen = [piece for piece in named.values() if piece.status in allowed]
    if not chosen:
        first = next(iter(named.values()))
        raise Fault(f"{cleaned(first.name)} is {first.status}; it cannot be {what}")
    if args.to_stock and (sample := next((p for p in chosen if p.state.sample), None)):
        raise Fault(f"{cleaned(sample.name)} is the sample; it stays in its lot")
    entries = [told(payload, piece.state.uuid, piece.state.lot) for piece in chosen]
    return entries, [f"{what}: {numbered_names(chosen)}", *_left(named.values(), chosen)]


def _put_into(
    args: argparse.Namespace, session: Session, book: CommissionBook, found: CommissionPieces
) -> tuple[Sequence[Entry], Sequence[str]]:
    """Put finished pieces that belong elsewhere into a lot, with numbers of its own."""
    from bench.craft.text import Fault, cleaned
    from bench.journal.inspection_payloads import PutIntoLot

    lot = book.commission.lot(args.into)
    if not args.pieces:
        raise Fault("say which pieces, by the ids that `finished` and `inspect --json` give")
    number = found.next_number(lot)
    entries: list[Entry] = []
    short: Counter[str] = Counter()
    with session.reading() as journal:
        known = [s for s in journal.pieces(open_only=False) if not s.open]
    there = {piece.state.uuid for piece in found.of_lot(lot)}
    for name in args.pieces:
        state = next((s for s in known if len(name) >= 6 and s.uuid.startswith(name)), None)
        if state is None or state.status != "good":
            raise Fault(f"there is no good piece '{cleaned(name, 40)}'")
        if state.uuid in there:
            raise Fault(f"'{cleaned(name, 40)}' is in {lot.name} already, or was named twice")
        if state.sample:
            raise Fault(f"'{cleaned(name, 40)}' is the sample; it stays in its lot")
        there.add(state.uuid)
        away = state.away
        if state.trial or state.delivered is not None or state.returned or away is not None:
            what = "a trial" if state.trial else "handed over" if away is None else away.how
            raise Fault(f"'{cleaned(name, 40)}' is {what}; it cannot be put into a lot")
        if state.kind != lot.kind:
            raise Fault(f"'{cleaned(name, 40)}' is of another pattern, size or colourway")
        if state.commission is not None:
            short[f"{state.lot} of {state.commission}"] += 1
        said = PutIntoLot(book.name, number + len(entries), book.id, lot.id)
        entries.append(told(said, state.uuid, lot.name))
    done = [f"put into {lot.name}: {len(entries)}"]
    return entries, [*done, *(f"out of {name}: {many}" for name, many in sorted(short.items()))]


def _left(named: Iterable[LotPiece], chosen: Sequence[LotPiece]) -> Iterable[str]:
    left = [piece for piece in named if piece not in chosen]
    if left:
        yield "left as they are: " + ", ".join(f"{p.name} ({p.status})" for p in left[:8])


def _asked(args: argparse.Namespace) -> tuple[Payload, tuple[Status, ...], str] | None:
    """The event for each piece, the states in which it can be, and the word for it."""
    from bench.craft.text import Fault, plain
    from bench.journal.inspection_payloads import Delivered, Packed, PutIntoLot, Returned

    day = day_that_was(args.on, "on").isoformat()
    if args.tray is not None:
        if not args.tray.strip():
            raise Fault("a tray has a name; --out takes pieces out of theirs")
        return Packed(plain(args.tray)), ("made", "good", "packed"), "packed"
    if args.to_stock:
        return PutIntoLot(None), ("made", "good", "packed", "second"), "put into finished stock"
    if args.out:
        return Packed(""), ("packed",), "taken out"
    if args.deliver:
        return Delivered(day), ("made", "good", "packed"), "delivered"
    if args.not_delivered:
        return Delivered(day, True), ("delivered",), "taken back as not delivered"
    if args.back is not None:
        return Returned(day, plain(args.back)), ("delivered",), "returned"
    if args.mended:
        return Returned(day, "", True), ("returned",), "mended"
    return None
