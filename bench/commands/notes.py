"""`notes`: notes and photographs' names of a commission, a lot, a piece."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from bench.commands.orders import order_of
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.notes import NotesAnswer
    from bench.commission.book import CommissionBook
    from bench.commission.order_notes import OrderNote
    from bench.commission.pieces import CommissionPieces
    from bench.journal.payload_base import Payload


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission, and a note."""
    parser.add_argument("commission", metavar="COMMISSION", help="its name, or its file")
    parser.add_argument("--say", metavar="TEXT", help="a note to keep")
    parser.add_argument("--photo", metavar="FILE", help="the name of a photograph's file")
    about = parser.add_mutually_exclusive_group()
    about.add_argument("--lot", metavar="LOT", help="it is about that lot")
    about.add_argument("--piece", metavar="PIECE", help="it is about that piece, as 'Plum 3'")
    about.add_argument("--undo", action="store_true", help="take the last note back")


def answer(args: argparse.Namespace, session: Session) -> NotesAnswer:
    """Keep a note or take the last one back, and tell all of them."""
    from bench.answers.notes import NoteOfOrder, NotesAnswer
    from bench.journal.events import Entry, new_id

    book, found, notes = _read(session, args.commission)
    said, done = _said(args, book, found, notes)
    waits = False
    if said is not None:
        first = book.first(dt.date.today())
        waits = write_down(session, [*first, Entry(said, book.id, uuid=new_id())])
        book, found, notes = _read(session, args.commission)
    return NotesAnswer(
        commission=book.name,
        title=book.commission.title,
        notes=tuple(
            NoteOfOrder(
                about=note.about,
                at=dt.datetime.fromtimestamp(note.wall, dt.UTC).isoformat(timespec="seconds"),
                text=note.text,
                photo=note.photo,
            )
            for note in notes
        ),
        done=done,
        waits=waits,
    )


def _said(
    args: argparse.Namespace,
    book: CommissionBook,
    found: CommissionPieces,
    notes: Sequence[OrderNote],
) -> tuple[Payload | None, tuple[str, ...]]:
    from bench.commission.order_notes import note_said
    from bench.craft.text import Fault
    from bench.journal.commission_payloads import CommissionUndone

    if args.undo:
        own = [note for note in notes if note.of_order]
        if not own:
            raise Fault(f"'{book.name}' has no note to take back; those of the bench stay")
        return CommissionUndone(own[-1].event), (f"taken back: {own[-1].text or own[-1].photo}",)
    if args.say is None and args.photo is None:
        if args.lot is not None or args.piece is not None:
            raise Fault("say the note too: --say TEXT, or --photo FILE")
        return None, ()
    return note_said(book, found, args.say or "", args.photo or "", args.lot, args.piece), ("kept",)


def _read(
    session: Session, name: str
) -> tuple[CommissionBook, CommissionPieces, tuple[OrderNote, ...]]:
    from bench.commission.order_notes import read_notes
    from bench.commission.pieces import read_pieces

    with session.reading() as journal:
        book = order_of(session, journal, name)
        found = read_pieces(journal, book)
        return book, found, read_notes(journal, book, found)


def sheet(answer: NotesAnswer) -> Iterable[str]:
    """A line for each note."""
    from bench.sheets.notes import note_lines

    return note_lines(answer)
