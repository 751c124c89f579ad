"""In which order lots are worked on: samples first, then what is promised next."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LotAhead:
    """What is still to be made of a lot: hours at the bench, and when it is promised.

    `sample`: its sample is not signed off yet, so that the rest of it waits.
    """

    name: str
    pieces: int
    hours: float
    due: dt.date | None = None
    sample: bool = False


@dataclass(frozen=True, slots=True)
class Turn:
    """A lot's turn; `why`: why it does not stand where the order has it, or nothing."""

    lot: LotAhead
    why: str


@dataclass(frozen=True, slots=True)
class Shortfall:
    """A promised day with all that is to be done by it.

    `short_h`: hours that are missing if the maker keeps to her hours a week; 0 if it holds so.
    `lots`: those promised by then. `choices`: what can be done about it.
    """

    due: dt.date
    lots: tuple[str, ...]
    hours: float
    short_h: float
    choices: tuple[str, ...]


def in_turn(lots: Sequence[LotAhead]) -> tuple[Turn, ...]:
    """Put lots in their turn: samples, then the earliest day first, lots without a day last.

    That the earliest due date first keeps the greatest lateness least is Jackson's rule (J. R.
    Jackson, Scheduling a production line to minimize maximum tardiness, UCLA 1955; from memory).
    """
    left = [(at, lot) for at, lot in enumerate(lots) if lot.pieces]
    order = sorted(left, key=lambda one: (not one[1].sample, one[1].due or dt.date.max, one[0]))
    return tuple(
        Turn(lot, _why(lot, [other for at_, other in left if at_ < at], order[:place]))
        for place, (at, lot) in enumerate(order)
    )


def _why(lot: LotAhead, before: Sequence[LotAhead], earlier: Sequence[tuple[int, LotAhead]]) -> str:
    """Why a lot comes before one that stands before it in the order."""
    done = [other for _, other in earlier]
    passed = [other for other in before if other not in done]
    if not passed:
        return ""
    names = ", ".join(other.name for other in passed[:3])
    if lot.sample:
        return f"before {names}: its sample is waited for"
    return f"before {names}: it is promised for {lot.due}"


def shortfalls(
    turns: Sequence[Turn], today: dt.date, hours_per_week: float
) -> tuple[Shortfall, ...]:
    """Each promised day, with the hours that are missing until then, the lots in their turn."""
    days = sorted({turn.lot.due for turn in turns if turn.lot.due is not None})
    return tuple(_shortfall(day, turns, today, hours_per_week) for day in days)


def _shortfall(
    day: dt.date, turns: Sequence[Turn], today: dt.date, hours_per_week: float
) -> Shortfall:
    upto = [n for n, turn in enumerate(turns) if turn.lot.due is not None and turn.lot.due <= day]
    done = turns[: max(upto) + 1]
    hours = sum(turn.lot.hours for turn in done)
    weeks = max(0.0, ((day - today).days + 1) / 7)
    short = max(0.0, hours - weeks * hours_per_week)
    names = tuple(turn.lot.name for turn in done if turn.lot.due == day)
    choices = tuple(_choices(done, hours, weeks, hours_per_week, today)) if short > 0 else ()
    return Shortfall(day, names, hours, short, choices)


def _choices(
    done: Sequence[Turn], hours: float, weeks: float, hours_per_week: float, today: dt.date
) -> Iterator[str]:
    """More hours, a part of it, or another day."""
    if weeks > 0:
        yield f"work {math.ceil(10 * hours / weeks) / 10:g} hours a week in place of" \
              f" {hours_per_week:g}"  # fmt: skip
    whole = sum(turn.lot.pieces for turn in done)
    yield f"hand over {_in_time(done, weeks * hours_per_week)} of {whole} pieces by then"
    later = today + dt.timedelta(days=math.ceil(7 * hours / hours_per_week))
    yield f"agree on {later} for all of it"


def _in_time(done: Sequence[Turn], hours: float) -> int:
    """How many pieces are done in so many hours, in their turn."""
    count = 0
    for turn in done:
        each = turn.lot.hours / turn.lot.pieces
        whole = turn.lot.pieces if each == 0 else min(turn.lot.pieces, int(hours / each + 1e-9))
        count += whole
        hours -= whole * each
        if whole < turn.lot.pieces:
            break
    return count
