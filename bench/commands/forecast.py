"""`forecast`: when a run will be done, and what to charge."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Iterable
from typing import TYPE_CHECKING

from bench.commands.desk import Desk

if TYPE_CHECKING:
    from rich.console import RenderableType

    from bench.contract.timing import RunForecast


def arguments(parser: argparse.ArgumentParser) -> None:
    """Take the run and the hours a week."""
    parser.add_argument("run", metavar="RUN", help="a run's name in the library, or its file")
    parser.add_argument(
        "--hours-per-week", metavar="H", type=float, help="instead of what the settings say"
    )


def answer(args: argparse.Namespace, desk: Desk) -> RunForecast:
    """Fit the maker's pace and ask it for the rest of the run."""
    from bench.commands.pace import unknown_patterns
    from bench.forecasts import model_of, run_forecast
    from bench.times import all_times

    now = dt.datetime.now().astimezone()
    with desk.reading() as journal:
        times = all_times(journal, desk.library)
    desk.warnings += unknown_patterns(times)
    return run_forecast(
        desk.library,
        model_of(times, now.timestamp()),
        times,
        args.run,
        work=desk.settings.work,
        hours_per_week=args.hours_per_week,
        now=now,
    )


def sheet(answer: RunForecast) -> Iterable[RenderableType]:
    """The run's hours, days and price, then its lots."""
    from bench.sheets.pace import run

    return run(answer)
