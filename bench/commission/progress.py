"""How a commission stands: what is done, in the making and to make, and when it will be done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from bench.commission.before_it import LotJobs, untils
from bench.commission.identity import with_ids
from bench.commission.lot_number import Settled, next_number, numbers_apart, to_make
from bench.commission.lot_refs import OrderLots, order_lots
from bench.craft.text import Fault
from bench.documents.commission import Commission, Lot
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.reading import read_document
from bench.documents.settings import Settings
from bench.journal.clock import Instant
from bench.journal.frozen import work_of
from bench.journal.piece_state import PieceState
from bench.journal.piece_times import PieceTimes
from bench.pace.intervals import Forecast
from bench.pace.model import Model
from bench.pace.predictive import Job
from bench.pace.price import Price, price
from bench.pace.records import Work
from bench.pace.weeks import Finish, Weeks, chance_by, finish
from bench.pace.work_ahead import spaced, works_ahead

DAY_S = 86_400.0


@dataclass(frozen=True)
class LotWork:
    """A lot with the work in one of its pieces."""

    lot: Lot
    pattern: str
    """The pattern's name, as pieces keep it."""
    work: Work
    dry_s: float

    @property
    def id(self) -> str:
        """The lot's id."""
        assert self.lot.id is not None
        return self.lot.id

    def name_of(self, number: int | None) -> str:
        """What the lot's piece of this number is called, as on its tag."""
        return self.lot.name if number is None else f"{self.lot.name} {number}"

    @property
    def job(self) -> Job:
        """A whole piece of the lot."""
        return Job(self.pattern, self.lot.size, self.lot.colourway, self.work)


@dataclass(frozen=True)
class BegunPiece:
    """A piece in the making: how it stands, what it took so far, and when it began to dry."""

    state: PieceState
    times: PieceTimes
    dry_since: float | None


@dataclass(frozen=True)
class LotProgress:
    """One lot: pieces that came out good, those spoilt, those in the making, those to begin."""

    work: LotWork
    good: tuple[PieceTimes, ...]
    spoilt: tuple[PieceTimes, ...]
    making: tuple[BegunPiece, ...]
    to_come: Forecast
    done_by: Finish | None
    """Days from now until the lot is done, made in its turn; None when it is."""
    late: float | None
    """The chance that not all that is promised for its day is done by then; None without one."""
    settled: Settled
    """What became of good pieces beyond a lowered count."""
    left: tuple[int | None, ...] = ()
    """The numbers of pieces that were in the lot and left it."""
    beyond: Forecast | None = None
    """What is to come of pieces in the making beyond what is agreed; None without any."""

    @property
    def to_make(self) -> int:
        """Pieces that are not begun."""
        return to_make(self.work.lot, self.settled, len(self.good), len(self.making))

    @property
    def next_number(self) -> int:
        """The number of the piece that is begun next."""
        return next_number((*(times.number for times in self.pieces), *self.left))

    @property
    def done_s(self) -> float:
        """Seconds spent on the lot so far, rework and those of spoilt pieces included."""
        return sum(times.spent_s for times in self.pieces)

    @property
    def pieces(self) -> tuple[PieceTimes, ...]:
        """The times of all its pieces."""
        return (*self.good, *self.spoilt, *(m.times for m in self.making))


@dataclass(frozen=True)
class CommissionProgress:
    """The whole commission."""

    name: str
    commission: Commission
    lots: tuple[LotProgress, ...]
    to_come: Forecast
    finish: Finish | None
    """None when everything is made."""
    price: Price | None
    """What to charge for all of it, spent hours included; None without an hourly rate."""
    materials: float | None
    weeks: Weeks
    """The hours a week that its days go by."""
    late: float | None
    """The chance that not all is done when the whole is due; None without a date."""
    is_guess: bool
    """Whether no piece of the maker's is timed, so that no figure has a chance of its own."""
    untimed: int = 0
    """Good pieces of which no hours are known; the price takes theirs by the maker's pace."""

    @property
    def done_s(self) -> float:
        """Seconds spent so far, rework included."""
        return sum(lot.done_s for lot in self.lots)

    @property
    def done(self) -> bool:
        """Whether every lot has its good pieces."""
        return all(not lot.to_make and not lot.making for lot in self.lots)


def lot_works(library: Library, commission: Commission) -> tuple[LotWork, ...]:
    """The lots of a commission with their work.

    Raises DocumentError or Fault for a broken pattern.
    """
    out = []
    for lot in commission.lots:
        path = library.pattern_path(lot.pattern)
        plan = library.plan(path).resolved(lot.size, lot.colourway)
        dry_s = 60.0 * plan.pattern.finish.dry_minutes
        out.append(LotWork(lot, path.stem, work_of(plan), dry_s))
    return tuple(out)


def commission_in_file(library: Library, name: str) -> tuple[Commission, str]:
    """A commission as its file has it, and what is wrong with a pattern of it; "" for nothing.

    Raises DocumentError or Fault if the file is wrong.
    """
    path = library.commission_path(name)
    commission = with_ids(path.stem, read_document(path, Commission))
    try:
        library.check_lots(path, commission)
        lot_works(library, commission)
    except (DocumentError, Fault) as error:
        return commission, str(error)
    return commission, ""


def progress_of(
    name: str,
    commission: Commission,
    works: Sequence[LotWork],
    pieces: Sequence[PieceTimes],
    making: Sequence[BegunPiece],
    model: Model,
    settings: Settings,
    now: Instant,
    materials: float | None = None,
    weeks: Weeks | None = None,
    lots_of: OrderLots | None = None,
    samples: Collection[str] = (),
    others: Sequence[LotJobs] = (),
) -> CommissionProgress:
    """Work out how a commission stands.

    Args:
        name: the commission's name, as its pieces keep it.
        commission: the commission, with its ids.
        works: its lots, from `lot_works`.
        pieces: the times of finished pieces, of any commission.
        making: the pieces in the making, of any commission.
        model: the maker's pace.
        settings: hours a week, rate, overhead and margin.
        now: the present moment.
        materials: what beads, thread and notions of the whole commission cost, if known.
        weeks: the hours a week as they were; those that are set by default.
        lots_of: says of pieces which lots they belong to; by their names alone by default.
        samples: ids of lots of which a piece is made before all others.
        others: lots of other orders, of which those that are promised earlier come before.

    """
    work = settings.work
    weeks = weeks or Weeks(work.hours_per_week)
    lots_of = lots_of or order_lots(None, name, commission)
    finished: dict[str, list[PieceTimes]] = {}
    gone: dict[str, list[int | None]] = {}
    for times in pieces:
        if not times.trial and (own := lots_of.lot_of(times)):
            finished.setdefault(own, []).append(times)
        for ref, left_with in lots_of.refs.left(times):
            if ref.order == lots_of.order:
                gone.setdefault(ref.lot, []).append(left_with)
    begun_of: dict[str, list[BegunPiece]] = {}
    for begun in making:
        if not begun.state.trial and (own := lots_of.lot_of(begun.state)):
            begun_of.setdefault(own, []).append(begun)
    for own in (*finished, *begun_of):
        _tell_apart(finished.get(own, []), begun_of.get(own, []), gone.get(own, ()))
    jobs: list[Job] = []
    counts: list[tuple[int, int]] = []
    beyond: list[Settled] = []
    dry: list[float] = []
    untimed: list[Job] = []
    extra: list[Job] = []
    extras: list[tuple[int, int]] = []
    for lot_work in works:
        in_hand = begun_of.get(lot_work.id, [])
        good = [t for t in finished.get(lot_work.id, ()) if t.status == "good"]
        settled = lots_of.settled.get(lot_work.id, Settled())
        left = to_make(lot_work.lot, settled, len(good), 0)
        fresh = [lot_work.job] * max(0, left - len(in_hand))
        first = len(jobs)
        jobs += [*(rest_of(m.times, lot_work) for m in in_hand[:left]), *fresh]
        counts.append((first, len(jobs)))
        extras.append((len(extra), len(extra) + len(in_hand[left:])))
        extra += [rest_of(m.times, lot_work) for m in in_hand[left:]]
        beyond.append(settled)
        dry.append(lot_work.dry_s if fresh else _dry_left(in_hand[:left], lot_work, now))
        untimed += [lot_work.job for times in good if not times.is_timed]
    coming = len(jobs)
    own_jobs = [
        LotJobs(
            commission.due_of(lot_work.lot),
            tuple(jobs[first:end]),
            lot_work.id in samples and end > first,
        )
        for lot_work, (first, end) in zip(works, counts, strict=True)
    ]
    jobs = list(spaced(model, [*jobs, *untimed, *extra], weeks))
    agreed = coming + len(untimed)
    besides = [(agreed + first, agreed + end) for first, end in extras]
    spans = (*counts, *besides, (0, coming), (0, agreed))
    *found, whole, charged = works_ahead(model, jobs, spans)
    until = untils(model, weeks, own_jobs, others)
    drying: dict[dt.date, float] = {}
    for lot, dry_s in zip(own_jobs, dry, strict=True):
        drying[lot.day] = max(dry_s, drying.get(lot.day, 0.0))
    lots = []
    for number, (lot_work, own_lot, dry_s) in enumerate(zip(works, own_jobs, dry, strict=True)):
        comes = until[number] if own_lot.jobs else None
        done_by = None if comes is None else finish(comes.done, weeks, dry_s=dry_s)
        promise = None if comes is None else comes.promise
        late = _late(own_lot.due, drying[own_lot.day], promise, weeks, now)
        ended = finished.get(lot_work.id, ())
        lots.append(
            LotProgress(
                lot_work,
                tuple(times for times in ended if times.status == "good"),
                tuple(times for times in ended if times.status != "good"),
                tuple(begun_of.get(lot_work.id, ())),
                found[number],
                done_by,
                late,
                beyond[number],
                tuple(gone.get(lot_work.id, ())),
                found[len(works) + number] if len(set(extras[number])) > 1 else None,
            )
        )
    spent = sum(lot.done_s for lot in lots)
    coming_lots = (n for n, lot in enumerate(own_jobs) if lot.jobs)
    last = max(coming_lots, key=lambda n: until[n].place, default=None)
    all_of_it = None if last is None else until[last].done
    last_dry_s = 0.0 if last is None else dry[last]
    charge = None
    if work.hourly_rate is not None:
        charge = price(
            replace(charged, done_s=spent),
            per_hour=work.hourly_rate,
            materials=materials or 0.0,
            overhead=settings.shop.overhead,
            margin=work.margin,
        )
    return CommissionProgress(
        name,
        commission,
        tuple(lots),
        whole,
        None if all_of_it is None else finish(all_of_it, weeks, dry_s=last_dry_s),
        charge,
        materials,
        weeks,
        _late(commission.due, last_dry_s, all_of_it, weeks, now),
        model.is_guess,
        len(untimed),
    )


def _tell_apart(
    finished: list[PieceTimes], making: list[BegunPiece], left: Iterable[int | None]
) -> None:
    """Give the pieces of a lot numbers of which no two are alike."""
    given = {times.piece: times.number for times in (*finished, *(m.times for m in making))}
    numbers = numbers_apart(given, left)
    for at, times in enumerate(finished):
        if numbers[times.piece] != times.number:
            finished[at] = replace(times, number=numbers[times.piece])
    for at, one in enumerate(making):
        number = numbers[one.times.piece]
        if number != one.state.number:
            state, times = replace(one.state, number=number), replace(one.times, number=number)
            making[at] = replace(one, state=state, times=times)


def _late(
    due: dt.date | None,
    dry_s: float,
    until: Forecast | None,
    weeks: Weeks,
    now: Instant,
) -> float | None:
    """The chance that some work is late; None without a day, 0 where there is none of it."""
    if due is None or until is None:
        return None if due is None else 0.0
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    morning = dt.datetime.combine(due, dt.time(0), zone).timestamp()
    days = (morning + DAY_S - now.wall - dry_s) / DAY_S
    if days <= 0:
        return 1.0
    return 1.0 - chance_by(until, weeks, days)


def _dry_left(begun: Sequence[BegunPiece], lot_work: LotWork, now: Instant) -> float:
    """Seconds that the last of some begun pieces will still have to dry."""
    return max((drying_s(making, lot_work, now) for making in begun), default=0.0)


def drying_s(making: BegunPiece, lot_work: LotWork, now: Instant) -> float:
    """Seconds that a piece in the making will still have to dry."""
    if making.dry_since is not None:
        return max(0.0, lot_work.dry_s - (now.wall - making.dry_since))
    state = making.state
    return 0.0 if state.stage == "finish" or "dry" in state.stages_done else lot_work.dry_s


def rest_of(times: PieceTimes, lot_work: LotWork) -> Job:
    """What is left of a piece in the making."""
    return replace(lot_work.job, shares=times.left) if times.left else lot_work.job
