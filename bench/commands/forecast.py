"""`forecast`: when a commission will be done, and what to charge."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.session import Session

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.answers.forecast import ForecastAnswer


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the commission and the hours a week."""
    parser.add_argument(
        "commission", metavar="COMMISSION", help="its name in the library, or its file"
    )
    parser.add_argument(
        "--hours-per-week",
        metavar="H",
        type=float,
        help="instead of your last weeks', or the settings'",
    )


def answer(args: argparse.Namespace, session: Session) -> ForecastAnswer:
    """Fit the maker's pace and ask it for the rest of the commission."""
    from bench.commands.orders import overview_of
    from bench.commission.book import open_book
    from bench.commission.forecast import commission_forecast
    from bench.craft.text import Fault
    from bench.journal.clock import SystemClock

    settings, now = None, SystemClock().now()
    if args.hours_per_week is not None:
        if not 0 < args.hours_per_week <= 168:
            raise Fault(f"{args.hours_per_week:g} hours a week cannot be; a week has 168")
        work = session.settings.work.model_copy(update={"hours_per_week": args.hours_per_week})
        settings = session.settings.model_copy(update={"work": work})
    with session.reading() as journal:
        book = open_book(session.library, journal, args.commission)
        pace, found = overview_of(session, journal, args.commission, book, now, settings)
    return commission_forecast(found, pace.model, settings or session.settings, now)


def sheet(answer: ForecastAnswer) -> Iterable[RenderableType]:
    """The commission's hours, days and price, then its lots."""
    from bench.sheets.pace_and_forecast import commission

    return commission(answer)
