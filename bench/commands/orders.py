"""An order as commands open it: that it is cancelled is told first; and how it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from bench.commission.book import CommissionBook
    from bench.commission.overview import Overview
    from bench.documents.settings import Settings
    from bench.journal.clock import Instant
    from bench.journal.store import Journal
    from bench.timing.fitted_pace import FittedPace


def order_of(session: Session, journal: Journal, name: str) -> CommissionBook:
    """Open the order of a name or file. Raises DocumentError or Fault as opening it does."""
    from bench.commission.book import open_book

    book = open_book(session.library, journal, name)
    if book.cancelled is not None:
        session.warn(f"'{book.name}' is cancelled since {book.cancelled.words}")
    return book


def overview_of(
    session: Session,
    journal: Journal,
    name: str,
    book: CommissionBook,
    now: Instant,
    settings: Settings | None = None,
) -> tuple[FittedPace, Overview]:
    """Read how an order stands, with the maker's pace.

    `name`: the order's name or file, by which `book` was opened. `settings`: in place of the
    maker's; their hours a week count then, and not the weeks as they went. Raises as
    `read_overview` does.
    """
    from bench.commission.overview import read_overview

    pace, pieces = session.pace_and_times(journal, book.known_as, now.wall)
    days = pace.days if settings is None else None
    found = read_overview(
        journal, session.library, settings or session.settings, name, pieces,
        pace.loose, pace.model, now, days,
    )  # fmt: skip
    return pace, found
