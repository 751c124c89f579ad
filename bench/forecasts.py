"""What the maker's times say of work to come: a pattern's pace, and a run's hours and dates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bench.contract.timing import (
    Dates,
    Hours,
    LotLine,
    Money,
    PaceLine,
    RunForecast,
    Seconds,
)
from bench.craft.text import Fault
from bench.journal.state import IN_THE_MAKING
from bench.library import Library
from bench.pace import commission
from bench.pace.model import Model, fit
from bench.pace.predict import Job, by_stage, forecast
from bench.pace.records import PieceRecord
from bench.pace.spread import LEVEL, Forecast
from bench.run import Lot, Run
from bench.settings import Work as WorkSettings
from bench.times import PieceTimes, record_of, work_of

MOST_PIECES = 20_000
"""Pieces of a run that are forecast."""
HOURS_ONLY = "hours and margin; beads, thread and findings come on top"


def model_of(times: Sequence[PieceTimes], now: float) -> Model:
    """Fit the maker's pace to every piece that is done; `now` is UTC seconds."""
    found = (record_of(piece) for piece in times)
    made: list[PieceRecord] = [record for record in found if record is not None]
    return fit(made, today=now / 86400)


def basis_of(model: Model) -> str:
    """What a forecast rests on, in words."""
    if model.is_guess:
        return "guess: common practice, no piece of yours is recorded yet"
    return f"{model.pieces} of your pieces"


def pace_of(
    library: Library,
    model: Model,
    name: str,
    size: str | None = None,
    colourway: str | None = None,
) -> PaceLine:
    """How long the next piece of a pattern takes. Raises DocumentError or Fault."""
    path = library.pattern_path(name)
    pattern = library.pattern(path)
    pattern.resolve(size, colourway)
    work = work_of(library.plan(path, pattern))
    job = Job(path.stem, size or "", colourway or "", work)
    return PaceLine(
        pattern=path.stem,
        title=pattern.title,
        size=size,
        colourway=colourway,
        pieces=model.pattern_pieces.get(path.stem, 0),
        next_piece=_seconds(forecast(model, [job])),
        stages={stage: _seconds(found) for stage, found in by_stage(model, job).items()},
        basis=basis_of(model),
    )


@dataclass(frozen=True)
class _LotJobs:
    """A lot with what was made of it and what is to do."""

    lot: Lot
    done: int
    open: int
    jobs: tuple[Job, ...]


def run_forecast(
    library: Library,
    model: Model,
    times: Sequence[PieceTimes],
    name: str,
    *,
    work: WorkSettings,
    hours_per_week: float | None,
    now: dt.datetime,
) -> RunForecast:
    """When a run will be done, and what to charge for it.

    Pieces belong to a lot by what they were started for. Raises DocumentError or Fault.
    """
    path = library.run_path(name)
    run = library.run(path)
    if sum(lot.pieces for lot in run.lots) > MOST_PIECES:
        raise Fault(f"at most {MOST_PIECES:,} pieces of a run can be forecast")
    hours = work.hours_per_week if hours_per_week is None else hours_per_week
    if not 0 < hours <= 168:
        raise Fault(f"{hours:g} hours a week cannot be; a week has 168")
    made = [piece for piece in times if piece.run == path.stem]
    lots = _spaced(model, [_lot_jobs(library, lot, made) for lot in run.lots], hours)
    jobs = [job for lot in lots for job in lot.jobs]
    to_come = commission.run(model, jobs)
    done_s = sum(piece.hands_on_s for piece in made)
    dry_s = _dry_s(library, run) if jobs else 0.0
    finish = commission.finish(to_come, hours, dry_s=dry_s)
    return RunForecast(
        warnings=tuple(_unassigned(run, times)),
        run=path.stem,
        title=run.title,
        hours_per_week=hours,
        done_h=round(done_s / 3600, 2),
        to_come=_hours(to_come),
        finish=Dates(
            low=_day(now, finish.low_days),
            median=_day(now, finish.median_days),
            high=_day(now, finish.high_days),
        ),
        price=_price(replace(to_come, done_s=to_come.done_s + done_s), work),
        lots=tuple(_lines(model, lots, hours, now)),
        basis=basis_of(model),
    )


def _lot_jobs(library: Library, lot: Lot, made: Sequence[PieceTimes]) -> _LotJobs:
    path = library.pattern_path(lot.pattern)
    work = work_of(library.plan(path, library.pattern(path)))
    job = Job(path.stem, lot.size or "", lot.colourway or "", work)
    own = [piece for piece in made if piece.lot == lot.name]
    done = sum(piece.status == "good" for piece in own)
    begun = [piece for piece in own if piece.status == IN_THE_MAKING]
    left = max(0, lot.pieces - done)
    begun_jobs = [replace(job, shares=piece.left) for piece in begun[:left] if piece.left]
    return _LotJobs(lot, done, len(begun), (*begun_jobs, *[job] * (left - len(begun_jobs))))


def _spaced(model: Model, lots: Sequence[_LotJobs], hours: float) -> list[_LotJobs]:
    """Put every lot's jobs on the days when they come up, lots in their order."""
    spaced = iter(commission.spaced(model, [job for lot in lots for job in lot.jobs], hours))
    return [replace(lot, jobs=tuple(next(spaced) for _ in lot.jobs)) for lot in lots]


def _lines(model: Model, lots: Sequence[_LotJobs], hours: float, now: dt.datetime) -> list[LotLine]:
    lines, before = [], list[Job]()
    for found in lots:
        before += found.jobs
        lot = found.lot
        lines.append(
            LotLine(
                lot=lot.name,
                pattern=lot.pattern,
                size=lot.size,
                colourway=lot.colourway,
                pieces=lot.pieces,
                done=found.done,
                in_the_making=found.open,
                to_make=len(found.jobs),
                to_come=_hours(commission.run(model, found.jobs)),
                due=None if lot.due is None else lot.due.isoformat(),
                late=_late(model, before if found.jobs else [], lot.due, hours, now),
            )
        )
    return lines


def _late(
    model: Model, jobs: Sequence[Job], due: dt.date | None, hours: float, now: dt.datetime
) -> float | None:
    """The chance that jobs are not done at the end of the day on which they are due."""
    if due is None:
        return None
    if not jobs:
        return 0.0
    end = dt.datetime.combine(due + dt.timedelta(days=1), dt.time(), now.tzinfo)
    seconds = (end - now).total_seconds() / 604_800 * hours * 3600
    if seconds <= 0:
        return 1.0
    return round(1 - commission.run(model, jobs).chance(seconds), 3)


def _dry_s(library: Library, run: Run) -> float:
    """How long the last lot's last piece dries."""
    pattern = library.pattern(library.pattern_path(run.lots[-1].pattern))
    return 60 * pattern.finish.dry_minutes


def _unassigned(run: Run, times: Sequence[PieceTimes]) -> list[str]:
    """Say how many finished pieces of the run's kinds were started for no lot."""
    kinds = {(lot.pattern, lot.size, lot.colourway) for lot in run.lots}
    loose = sum(
        piece.run is None
        and piece.status == "good"
        and (piece.pattern, piece.size, piece.colourway) in kinds
        for piece in times
    )
    if not loose:
        return []
    noun = "piece of its patterns belongs" if loose == 1 else "pieces of its patterns belong"
    return [f"{loose} finished {noun} to no lot of the run and count only for the pace"]


def _price(hands_on: Forecast, work: WorkSettings) -> Money:
    if work.hourly_rate is None:
        return Money(
            amount=None, low=None, high=None, currency=work.currency,
            says="no hourly rate is set in settings.toml",
        )  # fmt: skip
    said = commission.price(hands_on, per_hour=work.hourly_rate, margin=work.margin)
    return Money(
        amount=round(said.median, 2), low=round(said.low, 2), high=round(said.high, 2),
        currency=work.currency, says=HOURS_ONLY,
    )  # fmt: skip


def _day(now: dt.datetime, days: float) -> str:
    """The day so many days from now; far beyond every calendar, the last one there is."""
    try:
        return (now + dt.timedelta(days=days)).date().isoformat()
    except OverflowError:
        return dt.date.max.isoformat()


def _seconds(found: Forecast) -> Seconds:
    said = found.interval(LEVEL)
    return Seconds(
        level=LEVEL,
        low_s=round(said.low_s, 1),
        median_s=round(said.median_s, 1),
        high_s=round(said.high_s, 1),
    )


def _hours(found: Forecast) -> Hours:
    said = found.interval(LEVEL)
    return Hours(
        level=LEVEL,
        low_h=round(said.low_s / 3600, 2),
        median_h=round(said.median_s / 3600, 2),
        high_h=round(said.high_s / 3600, 2),
    )
