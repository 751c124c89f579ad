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
    table = columns("hands-on", "likely", _holds(pace.next_piece.level), right=(1,))
    for stage, said in pace.stages.items():
        add(table, STAGES_DOING[stage], duration(said.median_s), _between(said))
    add(table, "next piece", duration(pace.next_piece.median_s), _between(pace.next_piece))
    yield table


def several(paces: Sequence[PaceLine]) -> Iterator[RenderableType]:
    """Yield one line for each pattern."""
    level = paces[0].next_piece.level if paces else None
    table = columns("pattern", "recorded", "next piece", _holds(level), right=(1, 2))
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
        days, holds = answer.finish, _between_words(answer.to_come.level)
        yield line(f"finished:    about {days.median} ({holds}{days.low} to {days.high}),")
        yield line(f"             {_weeks(answer)}")
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
            _to_come(lot),
            _due(lot),
        )
    yield table


def _to_come(lot: LotForecast) -> str:
    """The hours to come, and those of pieces beyond what is agreed."""
    agreed = duration(lot.to_come.median_h * 3600)
    if lot.beyond is None:
        return agreed
    spare = f"spare {duration(lot.beyond.median_h * 3600)}"
    return f"{agreed}, {spare}" if lot.to_come.median_h else spare


def _due(lot: LotForecast) -> str:
    if lot.due is None:
        return ""
    if not lot.to_make and not lot.in_the_making:
        return f"{lot.due}, done"
    if lot.late is None:
        return lot.due
    return f"{lot.due}, late with chance {lot.late:.0%}"


def _between(said: SecondsInterval) -> str:
    return f"{duration(said.low_s)} and {duration(said.high_s)}"


def _hours(said: HoursInterval) -> str:
    low, median, high = (duration(h * 3600) for h in (said.low_h, said.median_h, said.high_h))
    return f"about {median} hands-on ({_between_words(said.level)}{low} to {high})"


def _holds(level: float | None) -> str:
    return "a guess, between" if level is None else "8 in 10 lie between"


def _between_words(level: float | None) -> str:
    return "a guess: " if level is None else "8 in 10: "


def _weeks(answer: ForecastAnswer) -> str:
    """What the days rest on."""
    hours = f"{answer.hours_per_week:.3g} hours a week"
    if not answer.weeks:
        return f"if you keep to {hours}"
    return f"as your last {plural(answer.weeks, 'week')} went, {hours} on average"
