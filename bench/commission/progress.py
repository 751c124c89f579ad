"""How a commission stands: what is done, in the making and to make, and when it will be done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from bench.commission.lot_number import Settled, next_number, numbers_apart, to_make
from bench.commission.lot_refs import OrderLots, order_lots
from bench.documents.commission import Commission, Lot
from bench.documents.library import Library
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
from bench.pace.what_fits import PieceAhead
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
    """Days from now until the lot is done, made in the order of the lots; None when it is."""
    late: float | None
    """The chance that it is not done when due; None without a date."""
    settled: Settled
    """What became of good pieces beyond a lowered count."""
    left: tuple[int | None, ...] = ()
    """The numbers of pieces that were in the lot and left it."""

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
    for lot_work in works:
        in_hand = begun_of.get(lot_work.id, [])
        good = [t for t in finished.get(lot_work.id, ()) if t.status == "good"]
        settled = lots_of.settled.get(lot_work.id, Settled())
        left = to_make(lot_work.lot, settled, len(good), 0)
        fresh = [lot_work.job] * max(0, left - len(in_hand))
        first = len(jobs)
        jobs += [*(_rest_of(m.times, lot_work) for m in in_hand[:left]), *fresh]
        counts.append((first, len(jobs)))
        beyond.append(settled)
        dry.append(lot_work.dry_s if fresh else _dry_left(in_hand[:left], lot_work, now))
        untimed += [lot_work.job for times in good if not times.is_timed]
    coming = len(jobs)
    jobs = list(spaced(model, [*jobs, *untimed], weeks))
    upto = [(0, end) for _, end in counts]
    spans = (*counts, *upto, (0, coming), (0, len(jobs)))
    *found, whole, charged = works_ahead(model, jobs, spans)
    lots = []
    for number, (lot_work, (first, end), dry_s) in enumerate(zip(works, counts, dry, strict=True)):
        to_come, until = found[number], found[len(works) + number]
        due = commission.due_of(lot_work.lot)
        done_by, late = _dates(due, dry_s, until if end > first else None, weeks, now)
        ended = finished.get(lot_work.id, ())
        lots.append(
            LotProgress(
                lot_work,
                tuple(times for times in ended if times.status == "good"),
                tuple(times for times in ended if times.status != "good"),
                tuple(begun_of.get(lot_work.id, ())),
                to_come,
                done_by,
                late,
                beyond[number],
                tuple(gone.get(lot_work.id, ())),
            )
        )
    spent = sum(lot.done_s for lot in lots)
    last_dry_s = next((d for d, (a, b) in reversed([*zip(dry, counts, strict=True)]) if b > a), 0.0)
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
        finish(whole, weeks, dry_s=last_dry_s) if coming else None,
        charge,
        materials,
        weeks,
        _dates(commission.due, last_dry_s, whole if coming else None, weeks, now)[1],
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


def _dates(
    due: dt.date | None,
    dry_s: float,
    whole: Forecast | None,
    weeks: Weeks,
    now: Instant,
) -> tuple[Finish | None, float | None]:
    """When some work is done, and the chance that it is late; None where there is none of it."""
    if whole is None:
        return None, None if due is None else 0.0
    done_by = finish(whole, weeks, dry_s=dry_s)
    if due is None:
        return done_by, None
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    morning = dt.datetime.combine(due, dt.time(0), zone).timestamp()
    days = (morning + DAY_S - now.wall - dry_s) / DAY_S
    if days <= 0:
        return done_by, 1.0
    return done_by, 1.0 - chance_by(whole, weeks, days)


def _dry_left(begun: Sequence[BegunPiece], lot_work: LotWork, now: Instant) -> float:
    """Seconds that the last of some begun pieces will still have to dry."""
    return max((_drying(making, lot_work, now) for making in begun), default=0.0)


def _drying(making: BegunPiece, lot_work: LotWork, now: Instant) -> float:
    if making.dry_since is not None:
        return max(0.0, lot_work.dry_s - (now.wall - making.dry_since))
    state = making.state
    return 0.0 if state.stage == "finish" or "dry" in state.stages_done else lot_work.dry_s


def _rest_of(times: PieceTimes, lot_work: LotWork) -> Job:
    """What is left of a piece in the making."""
    return replace(lot_work.job, shares=times.left) if times.left else lot_work.job


def waiting(
    found: CommissionProgress, now: Instant, most: int, awaited: Collection[str] = ()
) -> tuple[PieceAhead, ...]:
    """What is not finished, for what fits in the time at hand: begun pieces, then new ones.

    At most so many, but every lot has some among them, and no begun piece is left out. Of lots
    that wait for their sample (`awaited`, by their ids) nothing is begun but the sample.
    """
    begun = [_begun(lot.work, making, now) for lot in found.lots for making in lot.making]
    room = {lot.work.id: lot.to_make for lot in found.lots}
    for lot in found.lots:
        own = lot.work.id
        if own in awaited:
            room[own] = 0 if lot.making or lot.good else min(1, lot.to_make)
    lots = [lot for lot in found.lots if room[lot.work.id]]
    each = max(1, (most - len(begun)) // max(1, len(lots)))
    fresh = [
        PieceAhead(
            lot.work.name_of(lot.next_number + number),
            lot.work.job,
            lot.work.dry_s,
            lot=lot.work.lot.name,
        )
        for lot in lots
        for number in range(min(each, room[lot.work.id]))
    ]
    return tuple(_told_apart([*begun, *fresh[: max(0, most - len(begun))]]))


def _told_apart(pieces: Sequence[PieceAhead]) -> Iterator[PieceAhead]:
    """Number the pieces after the first that bear one name."""
    names: dict[str, int] = {}
    for piece in pieces:
        names[piece.name] = names.get(piece.name, 0) + 1
        again = names[piece.name]
        yield piece if again == 1 else replace(piece, name=f"{piece.name}, no. {again}")


def _begun(lot_work: LotWork, making: BegunPiece, now: Instant) -> PieceAhead:
    state, rest = making.state, _rest_of(making.times, lot_work)
    # Braided to the end, it has still to dry, though nobody has said that it does.
    braided = not dict(rest.shares)["braid"]
    return PieceAhead(
        lot_work.name_of(state.number),
        rest,
        lot_work.dry_s,
        _drying(making, lot_work, now) if braided else None,
        state.stage in {"set_up", "braid", "dry"},
        lot_work.lot.name,
    )
