"""What `inspect` and `pack` share: a commission's pieces read, changed, and told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from bench.commands.orders import order_of
from bench.commands.writing_down import write_down
from bench.session import Session

if TYPE_CHECKING:
    from bench.answers.pieces import PiecesAnswer
    from bench.commission.book import CommissionBook
    from bench.commission.pieces import CommissionPieces
    from bench.journal.events import Entry
    from bench.journal.payload_base import Payload

Deed = Callable[["CommissionBook", "CommissionPieces"], tuple["Sequence[Entry]", Sequence[str]]]


def with_pieces(session: Session, name: str, deed: Deed) -> PiecesAnswer:
    """Read a commission's pieces, write down what `deed` says of them, and tell how they stand."""
    from bench.commission.finished_stock import read_finished
    from bench.commission.pieces_answer import pieces_answer

    book, found = _read(session, name)
    entries, done = deed(book, found)
    if entries:
        entries = [*book.first(dt.date.today()), *entries]
    waits = write_down(session, entries)
    if entries:
        book, found = _read(session, name)
    with session.reading() as journal:
        stock = read_finished(journal, session.library)
    shop = session.settings.shop
    return pieces_answer(book, found, shop, tuple(done), waits=waits, stock=stock)


def written(
    session: Session, told_: PiecesAnswer, file: Path | None, html: Callable[[PiecesAnswer], str]
) -> PiecesAnswer:
    """Write a sheet of the pieces where one is asked for."""
    from bench.documents.writing import write_file

    if file is None:
        return told_
    session.warn(write_file(file, html(told_), ".html"))
    return replace(told_, file=str(file))


def told(payload: Payload, subject: str, lot: str | None = None) -> Entry:
    """An event that has its id already, so that it is never written twice."""
    from bench.journal.events import Entry, new_id

    return Entry(payload, subject, lot, new_id())


def _read(session: Session, name: str) -> tuple[CommissionBook, CommissionPieces]:
    from bench.commission.pieces import read_pieces

    with session.reading() as journal:
        book = order_of(session, journal, name)
        return book, read_pieces(journal, book)
