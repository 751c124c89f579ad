"""The sheets of `pace` and `forecast`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rich.console import RenderableType

from bench.craft.words import STAGES_DOING, duration, full_name, plural
from bench.sheets.printing import add, columns, line

if TYPE_CHECKING:
    from bench.answers.forecast import ForecastAnswer, HoursInterval, LotForecast
    from bench.answers.pace import PaceLine, SecondsInterval


def one(pace: PaceLine) -> Iterator[RenderableType]:
    """Yield one pattern's pace by stages."""
    yield line(full_name(pace.title, pace.size, pace.colourway), "bold")
    yield line(f"{plural(pace.pieces, 'piece')} of it recorded; rests on {pace.basis}")
    yield line("Rework as usual is in these times, under braid.")
    yield line("")
    table = columns("hands-on", "likely", "8 in 10 lie between", right=(1,))
    for stage, said in pace.stages.items():
        add(table, STAGES_DOING[stage], duration(said.median_s), _between(said))
    add(table, "next piece", duration(pace.next_piece.median_s), _between(pace.next_piece))
    yield table


def several(paces: Sequence[PaceLine]) -> Iterator[RenderableType]:
    """Yield one line for each pattern."""
    table = columns("pattern", "recorded", "next piece", "8 in 10 lie between", right=(1, 2))
    for pace in paces:
        said = pace.next_piece
        add(table, pace.pattern, str(pace.pieces), duration(said.median_s), _between(said))
    yield table
    if paces:
        yield line(f"rests on {paces[0].basis}")


def commission(answer: ForecastAnswer) -> Iterator[RenderableType]:
    """Yield a commission's hours, days and price, then its lots."""
    yield line(answer.title, "bold")
    done = f"done so far: {duration(answer.done_h * 3600)} with rework"
    yield line(f"{done}; rests on {answer.basis}")
    if any(lot.to_make or lot.in_the_making for lot in answer.lots):
        yield line(f"to come:     {_hours(answer.to_come)}")
        days = answer.finish
        yield line(
            f"finished:    about {days.median} (8 in 10: {days.low} to {days.high}),"
            f" at {answer.hours_per_week:g} hours a week"
        )
    else:
        yield line("to come:     nothing; every lot has its pieces")
    price = answer.price
    if price.amount is None or price.low is None or price.high is None:
        yield line(f"price:       {price.says}")
    else:
        yield line(
            f"price:       {price.amount:,.2f} {price.currency}"
            f" ({price.low:,.2f} to {price.high:,.2f}): {price.says}"
        )
    yield line("")
    table = columns("lot", "done", "begun", "to begin", "to come", "due", right=(1, 2, 3, 4))
    for lot in answer.lots:
        add(
            table,
            lot.lot,
            f"{lot.done}/{lot.pieces}",
            str(lot.in_the_making),
            str(lot.to_make),
            duration(lot.to_come.median_h * 3600),
            _due(lot),
        )
    yield table


def _due(lot: LotForecast) -> str:
    if lot.due is None or lot.late is None:
        return ""
    if not lot.to_make and not lot.in_the_making:
        return f"{lot.due}, done"
    return f"{lot.due}, late with chance {lot.late:.0%}"


def _between(said: SecondsInterval) -> str:
    return f"{duration(said.low_s)} and {duration(said.high_s)}"


def _hours(said: HoursInterval) -> str:
    low, median, high = (duration(h * 3600) for h in (said.low_h, said.median_h, said.high_h))
    return f"about {median} hands-on (8 in 10: {low} to {high})"
