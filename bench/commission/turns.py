"""In which order lots are worked on: samples first, then what is promised next."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

WEEK_H = 168
"""Hours that a week has."""


@dataclass(frozen=True, slots=True)
class LotAhead:
    """What is still to be made of a lot: hours at the bench, and when it is promised.

    `sample`: one of its pieces is the sample, which is to be made and signed off first; of the
    order that is looked at alone, for between orders the days decide. `order`:
    the title of the other order that it belongs to; "" for the one that is looked at.
    """

    name: str
    pieces: int
    hours: float
    due: dt.date | None = None
    sample: bool = False
    order: str = ""

    @property
    def each(self) -> float:
        """Hours that a piece of it takes."""
        return self.hours / self.pieces if self.pieces else 0.0


@dataclass(frozen=True, slots=True)
class Turn:
    """A turn at the bench: the sample of a lot, or all else of it.

    `why`: why it does not stand where the order has it, or nothing.
    """

    lot: LotAhead
    pieces: int
    sample: bool
    why: str

    @property
    def hours(self) -> float:
        """Hours at the bench."""
        return self.lot.each * self.pieces


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A promised day with all that is to be done by it.

    `lots`: those promised for it. `hours`: of all that is promised by then, and of the samples of
    what is promised later, since they come first. `others`: how much of it is for other orders, by
    their titles. `short_h`: hours that are missing if the maker
    keeps to her hours a week; 0 if it holds so. `choices`: what can be done about it.
    """

    due: dt.date
    lots: tuple[str, ...]
    hours: float
    others: tuple[tuple[str, float], ...]
    short_h: float
    choices: tuple[str, ...]


def in_turn(lots: Sequence[LotAhead]) -> tuple[Turn, ...]:
    """Put lots in their turn: samples, then the earliest day first, lots without a day last.

    That the earliest due date first keeps the greatest lateness least is Jackson's rule (J. R.
    Jackson, Scheduling a production line to minimize maximum tardiness, UCLA 1955; from memory).
    """
    by_day = sorted(enumerate(lots), key=lambda one: (one[1].due or dt.date.max, one[0]))
    samples = [(at, lot) for at, lot in by_day if lot.sample and lot.pieces]
    rest = [(at, lot) for at, lot in by_day if lot.pieces > lot.sample]
    place = {(lot.order, lot.name): n for n, (_, lot) in enumerate([*samples, *rest])}
    turns = []
    for n, (at, lot) in enumerate([*samples, *rest]):
        sample = n < len(samples)
        before = ((other.name, place.get((other.order, other.name), -1)) for other in lots[:at])
        passed = [name for name, later in before if later > n]
        pieces = 1 if sample else lot.pieces - lot.sample
        turns.append(Turn(lot, pieces, sample, _why(lot, passed, sample=sample)))
    return tuple(turns)


def _why(lot: LotAhead, passed: Sequence[str], *, sample: bool) -> str:
    """Why a lot comes before those that stand before it in the order."""
    if not passed:
        return ""
    names = ", ".join(passed[:3])
    if sample:
        return f"before {names}: a sample comes first"
    return f"before {names}: {lot.due} comes first"


def shortfalls(
    lots: Sequence[LotAhead], today: dt.date, hours_per_week: float
) -> tuple[Shortfall, ...]:
    """Each day that an order is promised for, with the hours that are missing until then.

    Lots of other orders stand before its own, so that of one day theirs are reckoned first.
    """
    own = (lot for lot in lots if not lot.order)
    days = sorted({lot.due for lot in own if lot.due is not None and lot.pieces})
    return tuple(_shortfall(day, lots, today, hours_per_week) for day in days)


def _shortfall(
    day: dt.date, lots: Sequence[LotAhead], today: dt.date, hours_per_week: float
) -> Shortfall:
    done = _until_done(lots, _promised(lots, day))
    hours, there = sum(turn.hours for turn in done), _hours_until(day, today, hours_per_week)
    names = tuple(lot.name for lot in lots if lot.due == day and lot.pieces and not lot.order)
    others: dict[str, float] = {}
    for turn in done:
        if turn.lot.order:
            others[turn.lot.order] = others.get(turn.lot.order, 0.0) + turn.hours
    short = max(0.0, hours - there)
    choices = _choices(day, lots, hours, there, today, hours_per_week) if short else ()
    return Shortfall(day, names, hours, tuple(others.items()), short, tuple(choices))


def _promised(lots: Sequence[LotAhead], day: dt.date) -> frozenset[str]:
    """The lots of the order itself that are promised for a day or one before."""
    return frozenset(
        lot.name for lot in lots if not lot.order and lot.due is not None and lot.due <= day
    )


def _until_done(lots: Sequence[LotAhead], wanted: frozenset[str]) -> tuple[Turn, ...]:
    """All turns up to the last one of some lots of the order."""
    turns = in_turn(lots)
    last = (n for n, turn in enumerate(turns, 1) if _is_one_of(turn.lot, wanted))
    return turns[: max(last, default=0)]


def _is_one_of(lot: LotAhead, wanted: frozenset[str]) -> bool:
    return not lot.order and lot.name in wanted


def _hours_until(day: dt.date, today: dt.date, hours_per_week: float) -> float:
    """Hours at the bench from today up to the end of a day."""
    return max(0, (day - today).days + 1) / 7 * hours_per_week


def _choices(
    day: dt.date,
    lots: Sequence[LotAhead],
    hours: float,
    there: float,
    today: dt.date,
    hours_per_week: float,
) -> Iterator[str]:
    """More hours, the samples of what is later after it, a part of it, or another day."""
    if there > 0:
        needed = math.ceil(10 * hours / there * hours_per_week) / 10
        if needed <= WEEK_H:
            yield f"work {needed:g} hours a week in place of {hours_per_week:g}"
    promised = _promised(lots, day)
    wait = [lot for lot in lots if lot.sample and lot.pieces and lot.name not in promised]
    waits = [replace(lot, sample=False) if lot in wait else lot for lot in lots]
    if wait and sum(turn.hours for turn in _until_done(waits, promised)) <= there:
        names = ", ".join(lot.name for lot in wait)
        yield f"let what is promised later wait with its sample: {names}"
    whole = sum(lot.pieces for lot in lots if _is_one_of(lot, promised))
    yield f"hand over {_in_time(lots, promised, there)} of {whole} pieces by then"
    later = _day_that_holds(day, lots, promised, today, hours_per_week)
    if later is None:
        yield "agree on a part of it: at these hours all of it is done on no day of this calendar"
    else:
        yield f"agree on {later} for all of it"


def _in_time(lots: Sequence[LotAhead], promised: frozenset[str], hours: float) -> int:
    """How many pieces of the promised lots are done in so many hours, in their turn."""
    count = 0
    for turn in _until_done(lots, promised):
        each = turn.lot.each
        whole = turn.pieces if each == 0 else min(turn.pieces, int(hours / each + 1e-9))
        count += whole * _is_one_of(turn.lot, promised)
        hours -= whole * each
        if whole < turn.pieces:
            break
    return count


def _day_that_holds(
    day: dt.date,
    lots: Sequence[LotAhead],
    promised: frozenset[str],
    today: dt.date,
    hours_per_week: float,
) -> dt.date | None:
    """The first day for which what is promised by a day can be done; None if there is none.

    What is promised for a day between comes before it then.
    """
    later = day
    while True:
        moved = [replace(lot, due=later) if _is_one_of(lot, promised) else lot for lot in lots]
        hours = sum(turn.hours for turn in _until_done(moved, promised))
        days = math.ceil(7 * hours / hours_per_week - 1e-9) - 1
        if days > (dt.date.max - today).days:
            return None
        found = max(later, today + dt.timedelta(days=max(0, days)))
        if found == later:
            return later
        later = found


def comes_next(lots: Sequence[LotAhead]) -> str:
    """Which order comes next where others are accepted, by their first days; "" without others."""
    own = _first_promised(lot for lot in lots if not lot.order)
    other = _first_promised(lot for lot in lots if lot.order)
    if other is None or other.due is None or not any(not lot.order for lot in lots):
        return ""
    due = None if own is None else own.due
    if due == other.due:
        return f"'{other.order}' is promised for the same day, {due}: take either first"
    if due is not None and due < other.due:
        return f"this order comes before '{other.order}', which is promised for {other.due}"
    return f"'{other.order}' comes first: its {other.name} is promised for {other.due}"


def _first_promised(lots: Iterable[LotAhead]) -> LotAhead | None:
    promised = [lot for lot in lots if lot.due is not None and lot.pieces]
    return min(promised, key=lambda lot: lot.due or dt.date.max, default=None)
