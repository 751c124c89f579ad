"""What the maker's times say of work to come: a pattern's pace, a commission's hours and dates."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from bench.answers.forecast import FinishDates, ForecastAnswer, HoursInterval, LotForecast, Money
from bench.answers.pace import PaceLine, SecondsInterval
from bench.commission.materials import priced_by
from bench.commission.overview import Overview
from bench.commission.pricing import NO_RATE
from bench.commission.progress import LotProgress
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.clock import Instant
from bench.journal.frozen import work_of
from bench.pace.intervals import LEVEL, Forecast
from bench.pace.model import Model
from bench.pace.predictive import Job, by_stage, forecast
from bench.pace.weeks import Finish


def basis_of(model: Model) -> str:
    """What a forecast rests on, in words."""
    if model.is_guess:
        return "guess: common practice, no piece of yours is recorded yet"
    return f"{model.pieces} of your pieces"


def level_of(is_guess: bool) -> float | None:
    """How often an interval holds what it forecasts; of a guess nobody knows."""
    return None if is_guess else LEVEL


def pace_of(
    library: Library,
    model: Model,
    path: Path,
    size: str | None = None,
    colourway: str | None = None,
) -> PaceLine:
    """How long the next piece of the pattern in a file takes. Raises DocumentError or Fault."""
    plan = library.plan(path).resolved(size, colourway)
    job = Job(path.stem, size, colourway, work_of(plan))
    level = level_of(model.is_guess)
    return PaceLine(
        pattern=path.stem,
        title=plan.pattern.title,
        size=size,
        colourway=colourway,
        pieces=model.pattern_pieces.get(path.stem, 0),
        next_piece=_seconds(forecast(model, [job]), level),
        stages={stage: _seconds(found, level) for stage, found in by_stage(model, job).items()},
        basis=basis_of(model),
    )


def commission_forecast(
    found: Overview, model: Model, settings: Settings, now: Instant
) -> ForecastAnswer:
    """When a commission will be done, and what to charge for it.

    Pieces belong to a lot by what they were started for.
    """
    stands = found.progress
    level = level_of(stands.is_guess)
    return ForecastAnswer(
        warnings=(*found.notes, *found.shelf.warnings),
        commission=stands.name,
        title=stands.commission.title,
        hours_per_week=round(stands.weeks.per_week, 2),
        weeks=len(stands.weeks.hours),
        done_h=round(stands.done_s / 3600, 2),
        to_come=_hours(stands.to_come, level),
        finish=_dates(stands.finish, now),
        price=_price(found, settings),
        lots=tuple(
            _line(lot, stands.commission.due_of(lot.work.lot), level) for lot in stands.lots
        ),
        basis=basis_of(model),
    )


def _line(found: LotProgress, due: dt.date | None, level: float | None) -> LotForecast:
    lot = found.work.lot
    return LotForecast(
        lot=lot.name,
        pattern=lot.pattern,
        size=lot.size,
        colourway=lot.colourway,
        pieces=lot.pieces,
        done=len(found.good),
        in_the_making=len(found.making),
        to_make=found.to_make,
        to_come=_hours(found.to_come, level),
        beyond=None if found.beyond is None else _hours(found.beyond, level),
        due=None if due is None else due.isoformat(),
        late=_late(found.late, level),
    )


def _late(late: float | None, level: float | None) -> float | None:
    """The chance of being late as far as it is known: without a timed piece, when it is certain."""
    return None if late is None or (level is None and late < 1) else round(late, 3)


def _price(found: Overview, settings: Settings) -> Money:
    work, without = settings.work, priced_by(settings.shop)
    said, materials = found.progress.price, found.materials
    if said is None:
        return Money(
            amount=None, low=None, high=None, currency=work.currency,
            says=NO_RATE,
        )  # fmt: skip
    if materials is None:
        says = f"{without}; materials come on top, your stock has no price for them"
    elif found.progress.materials is None:
        says = (
            f"{without}; materials come on top,"
            f" {materials.amount:,.2f} {materials.currency} by your stock"
        )
    else:
        says = priced_by(settings.shop, f"{materials.amount:,.2f}")
        if materials.unpriced:
            says += f", without {', '.join(materials.unpriced)}: no price in your stock"
    return Money(
        amount=round(said.median, 2), low=round(said.low, 2), high=round(said.high, 2),
        currency=work.currency, says=says,
    )  # fmt: skip


def _dates(finish: Finish | None, now: Instant) -> FinishDates:
    """The days on which it is done; today where nothing is to come."""
    said = (0.0,) * 3 if finish is None else (finish.low_days, finish.median_days, finish.high_days)
    low, median, high = (_day(now, days) for days in said)
    return FinishDates(low=low, median=median, high=high)


def _day(now: Instant, days: float) -> str:
    """The day so many days from now; far beyond every calendar, the last one there is."""
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    try:
        then = dt.datetime.fromtimestamp(now.wall, zone) + dt.timedelta(days=days)
        return then.date().isoformat()
    except OverflowError:
        return dt.date.max.isoformat()


def _seconds(found: Forecast, level: float | None) -> SecondsInterval:
    said = found.interval(LEVEL)
    return SecondsInterval(
        level=level,
        low_s=round(said.low_s, 1),
        median_s=round(said.median_s, 1),
        high_s=round(said.high_s, 1),
    )


def _hours(found: Forecast, level: float | None) -> HoursInterval:
    said = found.interval(LEVEL)
    return HoursInterval(
        level=level,
        low_h=round(said.low_s / 3600, 2),
        median_h=round(said.median_s / 3600, 2),
        high_h=round(said.high_s / 3600, 2),
    )
