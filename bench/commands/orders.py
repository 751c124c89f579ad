"""An order as commands open it: that it is cancelled is told first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.commission.book import CommissionBook
    from bench.journal.store import Journal


def order_of(session: Session, journal: Journal, name: str) -> CommissionBook:
    """Open the order of a name or file. Raises DocumentError or Fault as opening it does."""
    from bench.commission.book import open_book

    book = open_book(session.library, journal, name)
    if book.cancelled is not None:
        session.warn(f"'{book.name}' is cancelled since {book.cancelled.words}")
    return book
