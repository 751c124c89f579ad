"""Clean times: which gaps between key presses are breaks, and how a stage's seconds divide.

A maker's gaps are near log-normal while the hands are at work; a break stands far off. How far
is judged by the maker's own gaps: so many robust standard deviations above their median, on the
log scale (median absolute deviation times 1.4826: Hampel 1974, "The influence curve and its role
in robust estimation", JASA 69, 383-393; cited from memory). One fixed limit in seconds would
call each row of a slow maker a break, and no break of a fast one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

MAD_TO_SD = 1.4826
FAR = 3.5
"""Robust standard deviations above the median at which a gap becomes a break."""
LEAST_SD, MOST_SD = 0.15, 0.9
APART_S = 300.0
"""A mark done between crosses (the core let down) takes no longer: common practice, no source."""
BURST_S = 2.5
"""A typical gap shorter than this is no cross but counting after the fact; no source."""
COMMON = 0.04
"""Share of long gaps from which, between bursts, they are the way of working."""
FEW = 8
"""Gaps below which a rhythm says too little by itself."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """The maker's gaps at work, on the log scale."""

    log_median: float
    log_sd: float
    gaps: int
    """How many gaps it rests on."""

    @property
    def typical_s(self) -> float:
        """The gap that half of all are shorter than, in seconds."""
        return math.exp(self.log_median)


UNKNOWN = Rhythm(math.log(25.0), 0.5, 0)
"""A maker of whom nothing is known: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Clean:
    """Gaps told apart: which are breaks, from what length on, and the rhythm behind it."""

    breaks: tuple[bool, ...]
    limit_s: float
    rhythm: Rhythm


def rhythm_of(gaps: Sequence[float], earlier: Rhythm = UNKNOWN) -> Rhythm:
    """Find the rhythm in some gaps, leaning on an earlier one while they are few.

    Presses that come in bursts (a row braided, then its four crosses counted at once) make a
    short and a long kind of gap, and neither is a break; then the long kind is the rhythm.
    """
    logs = sorted(math.log(g) for g in gaps if g > 0 and math.isfinite(g))
    if not logs:
        return earlier
    middle, sd = _robust(logs)
    long = [x for x in logs if x > middle + FAR * sd]
    if len(logs) >= FEW and middle < math.log(BURST_S) and len(long) > COMMON * len(logs):
        middle, sd = _robust(long)
    if len(logs) < FEW:
        mine = len(logs) / FEW
        if earlier.gaps:
            middle = mine * middle + (1 - mine) * earlier.log_median
        sd = mine * sd + (1 - mine) * earlier.log_sd
    return Rhythm(middle, min(MOST_SD, max(LEAST_SD, sd)), len(logs))


def find_breaks(
    gaps: Sequence[float],
    *,
    apart: frozenset[int] = frozenset(),
    earlier: Rhythm = UNKNOWN,
    floor_s: float = 60.0,
    ceiling_s: float = 1800.0,
    overrides: Mapping[int, bool] | None = None,
) -> Clean:
    """Tell breaks from work in one stage's gaps, in the order they came.

    Args:
        gaps: seconds between presses; 0 is allowed.
        apart: which gaps are not of the stage's rhythm, as a mark done between crosses; up to
            `APART_S` they are work.
        earlier: the maker's rhythm before, used while these gaps are few.
        floor_s: no shorter gap is called a break.
        ceiling_s: every longer gap is called one.
        overrides: what the maker said of single gaps by index: True a break, False work.

    Raises:
        ValueError: a gap is negative or not finite, or the floor lies above the ceiling.

    """
    if floor_s > ceiling_s:
        raise ValueError("the shortest break may not be longer than the longest work")
    for i, gap in enumerate(gaps):
        if not (math.isfinite(gap) and gap >= 0):
            raise ValueError(f"gap {i} must be 0 seconds or more, not {gap}")
    steps = [g for i, g in enumerate(gaps) if i not in apart and g <= ceiling_s]
    rhythm = rhythm_of(steps, earlier)
    limit = math.exp(rhythm.log_median + FAR * rhythm.log_sd)
    limit = min(ceiling_s, max(floor_s, limit))
    longest = min(ceiling_s, max(limit, APART_S))
    found = [gap > (longest if i in apart else limit) for i, gap in enumerate(gaps)]
    for i, is_break in (overrides or {}).items():
        if 0 <= i < len(found):
            found[i] = is_break
    return Clean(tuple(found), limit, rhythm)


def _robust(logs: Sequence[float]) -> tuple[float, float]:
    middle = median(logs)
    sd = MAD_TO_SD * median([abs(x - middle) for x in logs])
    return middle, min(MOST_SD, max(LEAST_SD, sd))


TickKind = Literal["made", "taken_back", "set", "paused", "other"]


@dataclass(frozen=True, slots=True)
class Tick:
    """One press in a stage: what it did, and the seconds since the press before."""

    kind: TickKind
    cross: int
    """The cross that was made or taken back, or the count of crosses that was set."""
    gap_s: float | None
    """None when it is not known: the first press, or a machine started again in between."""


@dataclass(frozen=True, slots=True)
class StageSum:
    """The seconds of one stage, told apart; hands-on is work without rework and breaks."""

    hands_on_s: float
    rework_s: float
    break_s: float
    breaks: tuple[int, ...]
    """Which ticks had a break before them."""
    crosses: int
    """Crosses made for the first time."""
    work_s: tuple[float, ...]
    """Seconds of work by tick, hands-on or rework, with the breaks left out."""
    unknown: int
    """Crosses made after a gap that is not known; they are counted at the typical gap."""


def sum_stage(
    ticks: Sequence[Tick],
    *,
    earlier: Rhythm = UNKNOWN,
    ceiling_s: float = 1800.0,
    overrides: Mapping[int, bool] | None = None,
) -> StageSum:
    """Divide one stage's seconds into hands-on, rework and breaks.

    A gap with a break in it still holds one step of work: it gives the typical gap to the work
    and the rest to the break; before a pause all of it is break. Taking back and making again is
    rework. Setting the count is not: the braid was right, and crosses are first-time again from
    the count that was set.

    Args:
        ticks: the presses in order.
        earlier: as for `find_breaks`.
        ceiling_s: as for `find_breaks`.
        overrides: what the maker said of single gaps, by the index of their tick.

    """
    known = [i for i, tick in enumerate(ticks) if tick.gap_s is not None]
    place = {i: k for k, i in enumerate(known)}
    clean = find_breaks(
        [ticks[i].gap_s or 0.0 for i in known],
        apart=frozenset(place[i] for i in known if ticks[i].kind == "other"),
        earlier=earlier,
        ceiling_s=ceiling_s,
        overrides={place[i]: value for i, value in (overrides or {}).items() if i in place},
    )
    typical = clean.rhythm.typical_s
    hands_on = rework = breaks = 0.0
    reached = crosses = unknown = 0
    found, by_tick = [], []
    for i, tick in enumerate(ticks):
        seconds = tick.gap_s
        if seconds is None:
            seconds = typical if tick.kind == "made" else 0.0
            unknown += tick.kind == "made"
        elif clean.breaks[place[i]]:
            found.append(i)
            work = 0.0 if tick.kind == "paused" else min(seconds, typical)
            breaks += seconds - work
            seconds = work
        by_tick.append(seconds)
        if tick.kind == "taken_back" or (tick.kind == "made" and tick.cross <= reached):
            rework += seconds
        else:
            hands_on += seconds
        if tick.kind == "made" and tick.cross > reached:
            reached = tick.cross
            crosses += 1
        elif tick.kind == "taken_back":
            reached = max(reached, tick.cross)
        elif tick.kind == "set":
            reached = tick.cross
    return StageSum(hands_on, rework, breaks, tuple(found), crosses, tuple(by_tick), unknown)


def share_out(seconds: float, units: Sequence[float]) -> tuple[float, ...]:
    """Share the seconds of batch work over its pieces by their units.

    Raises:
        ValueError: no units at all, or negative ones.

    """
    total = sum(units)
    if not units or min(units) < 0 or total <= 0:
        raise ValueError("batch work needs pieces with more than 0 units")
    shares, given, done = [], 0.0, 0.0
    for u in units:
        done += u
        upto = seconds if done == total else seconds * done / total
        shares.append(upto - given)
        given = upto
    return tuple(shares)
