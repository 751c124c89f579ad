"""`inspect`: finished pieces against the sample; good, second, spoilt; samples signed off."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.options import day_that_was, number
from bench.commands.pieces_book import told, with_pieces, written
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.pieces import PiecesAnswer
    from bench.commission.book import CommissionBook
    from bench.commission.pieces import CommissionPieces, LotPiece
    from bench.journal.events import Entry
    from bench.journal.payload_base import Payload


OF_A_PIECE = (
    "good", "second", "spoilt", "undo", "failed", "length", "thickness", "weight",
    "sample", "approved", "no_sample", "not_approved",
)  # fmt: skip
"""What is said of one piece."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, a piece, and what was found."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("--piece", metavar="PIECE", help="as 'Plum 3', or its id's beginning")
    found = parser.add_mutually_exclusive_group()
    found.add_argument("--good", action="store_true", help="it is as it should be")
    found.add_argument("--second", metavar="REASON", help="it can be sold as a second")
    found.add_argument("--spoilt", metavar="REASON", help="it counts for nothing")
    found.add_argument("--undo", action="store_true", help="take its last inspection back")
    parser.add_argument(
        "--failed",
        metavar="LOOK",
        action="append",
        default=[],
        help="a look of the list that it failed, told with --good, --second or --spoilt",
    )
    for option, metavar in (("length", "MM"), ("thickness", "MM"), ("weight", "G")):
        parser.add_argument(f"--{option}", metavar=metavar, help="what it measures")
    parser.add_argument("--html", metavar="FILE", type=Path, help="write a list to tick")
    sample = parser.add_argument_group("the sample")
    sample.add_argument("--sample", action="store_true", help="the piece is signed off as it")
    sample.add_argument("--approved", action="store_true", help="the customer has approved it")
    sample.add_argument("--no-sample", action="store_true", help="it is not the sample after all")
    sample.add_argument("--not-approved", action="store_true", help="it was not, after all")
    sample.add_argument("--on", metavar="DATE", help="on that day; without it, today")
    sample.add_argument("--waive", metavar="LOT", help="the lot need not wait for its sample")
    sample.add_argument("--wait", metavar="LOT", help="it waits for its sample after all")
    sample.add_argument("--because", metavar="TEXT", default="", help="why it need not wait")


def answer(args: argparse.Namespace, session: Session) -> PiecesAnswer:
    """Write down what was found, and tell how the pieces stand."""
    from bench.sheets.pieces_html import inspection_html

    looks = session.settings.shop.looks
    answer = with_pieces(session, args.commission, partial(_said, args, looks))
    return written(session, answer, args.html, inspection_html)


def sheet(answer: PiecesAnswer) -> Iterable[str]:
    """Samples, pieces, and what went wrong how often."""
    from bench.sheets.pieces import inspection_lines

    return inspection_lines(answer)


def _said(
    args: argparse.Namespace,
    looks: Sequence[str],
    book: CommissionBook,
    found: CommissionPieces,
) -> tuple[Sequence[Entry], Sequence[str]]:
    from bench.craft.text import Fault, plain
    from bench.journal.commission_payloads import CommissionUndone, SampleApproved, SampleWaived

    if args.waive is not None:
        if not args.because:
            raise Fault("say --because: why the lot need not wait for its sample")
        lot = book.commission.lot(args.waive)
        said = SampleWaived(lot.id or "", plain(args.because))
        return [told(said, book.id)], [f"{lot.name} does not wait for its sample"]
    if args.wait is not None:
        return _waits_again(found, book, args.wait)
    if args.piece is None:
        if any(getattr(args, key) not in (None, False, []) for key in OF_A_PIECE):
            raise Fault("say --piece: which one it is said of, as 'Plum 3'")
        return [], []
    piece = found.one_called(args.piece)
    payloads = list(_of_piece(args, piece, looks))
    entries = [told(payload, piece.state.uuid, piece.state.lot) for payload in payloads]
    done = [f"{piece.name}: written down"] if entries else []
    if args.not_approved:
        approval = found.sample_of(piece.lot).approval
        if approval is None or not piece.state.sample:
            raise Fault(f"{piece.name} was not approved; there is nothing to take back")
        entries.append(told(CommissionUndone(approval[0]), book.id))
        done.append(f"{piece.name}: not approved, after all")
    if args.approved:
        day = day_that_was(args.on, "on").isoformat()
        entries.append(told(SampleApproved(piece.state.uuid, day), book.id))
        done.append(f"{piece.name}: approved by the customer on {day}")
    return entries, done


def _waits_again(
    found: CommissionPieces, book: CommissionBook, name: str
) -> tuple[Sequence[Entry], Sequence[str]]:
    """A lot waits for its sample after all."""
    from bench.craft.text import Fault
    from bench.journal.commission_payloads import CommissionUndone

    lot = book.commission.lot(name)
    waiver = found.sample_of(lot).waiver
    if waiver is None:
        raise Fault(f"{lot.name} waits for its sample anyway; there is nothing to take back")
    return [told(CommissionUndone(waiver[0]), book.id)], [f"{lot.name} waits for its sample"]


def _of_piece(args: argparse.Namespace, piece: LotPiece, looks: Sequence[str]) -> Iterable[Payload]:
    from bench.commission.inspection import looks_of_list
    from bench.craft.text import Fault, plain
    from bench.journal.inspection_payloads import Inspected, InspectionUndone, Verdict
    from bench.journal.payloads import Measured, SignOffUndone

    if piece.state.open:
        raise Fault(f"{piece.name} is still in the making; finish it first")
    if args.undo:
        if piece.state.inspected is None:
            raise Fault(f"{piece.name} was not inspected; there is nothing to take back")
        if piece.status == "delivered":
            raise Fault(
                f"{piece.name} is handed over; take that back first (`pack … --not-delivered`)"
            )
        yield InspectionUndone()
        return
    if args.no_sample:
        if not piece.state.sample:
            raise Fault(f"{piece.name} is no sample; there is nothing to take back")
        yield SignOffUndone()
        return
    verdict: Verdict | None = None
    if args.good:
        verdict = "good"
    elif args.second is not None or args.spoilt is not None:
        verdict = "second" if args.second is not None else "spoilt"
    if args.failed and verdict is None:
        raise Fault("say --good, --second or --spoilt with the looks that it failed")
    stays = piece.status in ("made", "good", "packed", "delivered") and verdict in (None, "good")
    if args.sample and not (stays or verdict == "good"):
        raise Fault(f"{piece.name} cannot be the sample: only a good piece can be one")
    measures = [
        None if text is None else number(text, option)
        for option, text in (
            ("length", args.length),
            ("thickness", args.thickness),
            ("weight", args.weight),
        )
    ]
    if verdict is not None:
        reason = args.second or args.spoilt
        failed = looks_of_list(map(plain, args.failed), looks)
        yield Inspected(verdict, None if reason is None else plain(reason), failed)
    if args.sample or any(value is not None for value in measures):
        length, thickness, weight = measures
        yield Measured(args.sample, length, thickness, weight_g=weight)
