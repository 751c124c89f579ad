"""`forecast`: when a run will be done, and what to charge."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.desk import Desk

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.contract.timing import RunForecast


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the run and the hours a week."""
    parser.add_argument("run", metavar="COMMISSION", help="its name in the library, or its file")
    parser.add_argument(
        "--hours-per-week", metavar="H", type=float, help="instead of what the settings say"
    )


def answer(args: argparse.Namespace, desk: Desk) -> RunForecast:
    """Fit the maker's pace and ask it for the rest of the run."""
    from bench.clock import SystemClock
    from bench.commission import read_commission
    from bench.craft.text import Fault
    from bench.forecasts import run_forecast
    from bench.timebook import TimeBook

    settings, now = desk.settings, SystemClock().now()
    if args.hours_per_week is not None:
        if not 0 < args.hours_per_week <= 168:
            raise Fault(f"{args.hours_per_week:g} hours a week cannot be; a week has 168")
        work = settings.work.model_copy(update={"hours_per_week": args.hours_per_week})
        settings = settings.model_copy(update={"work": work})
    with desk.reading() as journal:
        name = desk.library.run_path(args.run).stem
        pace = desk.pace(journal, now.wall)
        book = TimeBook(desk.journal_path, desk.library, keep=True)
        book.read_these(journal, pace.runs.get(name, ()))
        found = read_commission(
            journal, desk.library, settings, args.run, list(book.pieces.values()), pace.loose,
            pace.model, now,
        )  # fmt: skip
    return run_forecast(found, pace.model, settings.work, now)


def sheet(answer: RunForecast) -> Iterable[RenderableType]:
    """The run's hours, days and price, then its lots."""
    from bench.sheets.pace import run

    return run(answer)
