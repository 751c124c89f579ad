"""The counterweight: how much, made up of which weights, and when to change it.

Each strand is pulled over the rim by its tama and the beads still on it; the counterweight and
all that hangs below the point of braiding pull against them. What hangs takes a share of the
strands' pull: the fraction. Printed rules give 0.40 to 0.50, uses 0.31 to 0.53: M. Tada,
Kumihimo Notes (weavershand.com); American Kumihimo Society, glossary, "Tsuri-omori"; R. Neilson,
Sample-Swap. No source was found for changing it as beads move into the braid; the sum here
keeps the share.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

FRACTION = 0.47
LEAST_USUAL, MOST_USUAL = 0.35, 0.55
LEAST_ALLOWED, MOST_ALLOWED = 0.2, 0.7
BAND = 0.05
"""The share may leave the chosen fraction by so much before weight is changed. Rule of thumb."""

NUDGE = 0.03
"""Share of the strands' pull to add or take off when the point lies wrong. Rule of thumb."""

MOST_WEIGHTS = 40
HEAVIEST_G = 5000.0
"""No tama and no weight is heavier."""
_UNIT_G = 0.1
_EYE = "rule of thumb: the eye is the gauge, the sum only a start"


@dataclass(frozen=True, slots=True)
class Masses:
    """What weighs where after a cross, in grams.

    `strands_g` is the pull of all strands, tama and beads still on them; `hangs_g` what hangs
    in the braid, beads and core.
    """

    cross: int
    strands_g: float
    hangs_g: float


@dataclass(frozen=True, slots=True)
class WeightChange:
    """A counterweight from a cross on: `counterweight_g` in all, and what to change for it.

    `leaves_band_at` is the first cross of the stretch after which the maker's weights cannot keep
    the share within the band; None if they do throughout.
    """

    cross: int
    counterweight_g: float
    weights_g: tuple[float, ...]
    take_off_g: tuple[float, ...]
    add_g: tuple[float, ...]
    leaves_band_at: int | None


@dataclass(frozen=True, slots=True)
class Nudge:
    """Grams to add (above zero) or take off (below), in words, and what that rests on.

    `weights_g` are the maker's weights that hang then.
    """

    grams: float
    says: str
    rests_on: str
    weights_g: tuple[float, ...]


def check_fraction(fraction: float) -> str | None:
    """Check a fraction: None if usual, else a warning.

    Raises ValueError outside 0.2 to 0.7.
    """
    if not LEAST_ALLOWED <= fraction <= MOST_ALLOWED:
        raise ValueError(
            f"the counterweight must take {LEAST_ALLOWED:g} to {MOST_ALLOWED:g} "
            f"of the strands' pull, not {fraction:g}"
        )
    if fraction < LEAST_USUAL:
        return (
            f"{fraction:g} is light: the braid gets stiff and beads ride up, usual is 0.35 to 0.55"
        )
    if fraction > MOST_USUAL:
        return f"{fraction:g} is heavy: the braid opens and thread shows, usual is 0.35 to 0.55"
    return None


def check_tama(tama_g: Sequence[float]) -> None:
    """Raise ValueError unless there is a tama for every strand, each of a weight that can be."""
    if not tama_g:
        raise ValueError("no tama are given: each strand needs one")
    for strand, grams in enumerate(tama_g, start=1):
        if not (math.isfinite(grams) and grams > 0):
            raise ValueError(
                f"the tama of strand {strand} must weigh more than nothing, not {grams:g} g"
            )
        if grams > HEAVIEST_G:
            raise ValueError(
                f"the tama of strand {strand} must weigh {HEAVIEST_G:g} g or less, not {grams:g} g"
            )


def check_weights(weights_g: Sequence[float]) -> None:
    """Raise ValueError for no weights, one that weighs nothing or far too much, or too many."""
    if not weights_g:
        raise ValueError("the set of weights is empty: give the grams of each weight you have")
    if len(weights_g) > MOST_WEIGHTS:
        raise ValueError(f"{len(weights_g)} weights are too many: give at most {MOST_WEIGHTS}")
    for grams in weights_g:
        if not (math.isfinite(grams) and grams > 0):
            raise ValueError(f"a weight must weigh more than nothing, not {grams:g} g")
        if grams > HEAVIEST_G:
            raise ValueError(f"a weight must weigh {HEAVIEST_G:g} g or less, not {grams:g} g")


def counterweight_g(fraction: float, strands_g: float, hangs_g: float) -> float:
    """Find the counterweight that gives a share: fraction · strands − what hangs in the braid.

    Never below zero: then the braid itself is heavier than needed.
    """
    check_fraction(fraction)
    return max(0.0, fraction * strands_g - hangs_g)


def share(counterweight_g: float, masses: Masses) -> float:
    """Find the share of the strands' pull that hangs below the point of braiding."""
    return (counterweight_g + masses.hangs_g) / masses.strands_g


def masses_at(
    crosses: Iterable[int],
    releases: Iterable[tuple[int, float]],
    tama_g: Sequence[float],
    *,
    core_g: float = 0.0,
    core_after_cross: int = 0,
) -> tuple[Masses, ...]:
    """Work out what weighs where after each of some crosses, in their order.

    `releases` are (cross, grams) of every bead brought in, in order; the core hangs in the braid
    after `core_after_cross`. Raises ValueError as `check_tama`.
    """
    check_tama(tama_g)
    beads = list(releases)
    left_g = math.fsum(grams for _, grams in beads)
    braid_g = 0.0
    at = 0
    series = []
    for cross in crosses:
        while at < len(beads) and beads[at][0] <= cross:
            braid_g += beads[at][1]
            left_g -= beads[at][1]
            at += 1
        core = core_g if cross >= core_after_cross else 0.0
        series.append(Masses(cross, math.fsum(tama_g) + max(0.0, left_g), braid_g + core))
    return tuple(series)


def schedule(
    series: Sequence[Masses],
    weights_g: Sequence[float],
    fraction: float = FRACTION,
    *,
    band: float = BAND,
    bag_g: float = 0.0,
) -> tuple[WeightChange, ...]:
    """Make up the counterweight from the maker's weights, with the fewest changes.

    `series` holds the start and the ends of rows, in order; a step holds until the next one. The
    share stays within `band` of the fraction where the weights allow; elsewhere the nearest sum is
    taken, and the step says so. Each stretch is carried as far as it goes, which gives the fewest
    changes from its start; the first one starts from the sum nearest the fraction from which none
    could be saved. Of the sums in
    the middle half of what serves a stretch the one is taken for which the fewest weights are
    moved; where that half has none, the sum nearest the middle. `bag_g` (bag, hook and tie) is
    always part of the counterweight. Weights are taken to a tenth of a gram.

    Raises ValueError as `check_fraction` and `check_weights`, for an empty series, and for a
    band or a bag below zero.
    """
    check_fraction(fraction)
    check_weights(weights_g)
    if not series:
        raise ValueError("there is no cross to weigh for")
    if not (band > 0 and bag_g >= 0):
        raise ValueError(f"band and bag must not be below zero: {band:g}, {bag_g:g} g")
    own = [round(grams / _UNIT_G) for grams in weights_g]
    heaviest_g = max((fraction + band) * m.strands_g - m.hangs_g - bag_g for m in series)
    most = max(0, math.ceil(heaviest_g / _UNIT_G))
    sums = sorted(_fewest_moves(own, 0, most))
    windows = [_window(masses, fraction, band, bag_g, sums) for masses in series]
    steps: list[WeightChange] = []
    hung = 0
    at = 0
    while at < len(series):
        low, high, _ = windows[at]
        if not steps:
            low = high = _start(windows, sums)
        low, high, end = _stretch(windows, sums, at, low, high)
        then = _taken(_fewest_moves(own, hung, most), sums, low, high)
        on = _chosen(weights_g, then)
        outside = (series[i].cross for i in range(at, end) if not windows[i][2])
        steps.append(
            WeightChange(
                series[at].cross,
                bag_g + math.fsum(on),
                on,
                _chosen(weights_g, hung & ~then),
                _chosen(weights_g, then & ~hung),
                next(outside, None),
            )
        )
        hung, at = then, end
    return tuple(steps)


_Window = tuple[float, float, bool]


def _stretch(
    windows: Sequence[_Window], sums: Sequence[int], at: int, low: float, high: float
) -> tuple[float, float, int]:
    """How far a stretch goes that starts with these sums: what still serves, and the row after."""
    end = at + 1
    while end < len(windows):
        narrower = max(low, windows[end][0]), min(high, windows[end][1])
        if not _any(sums, *narrower):
            break
        low, high = narrower
        end += 1
    return low, high, end


def _start(windows: Sequence[_Window], sums: Sequence[int]) -> int:
    """The sum nearest the fraction at the start from which weight is changed least often."""

    def changes(at: int) -> int:
        """How often weight is changed from a row on, that row included."""
        count = 0
        while at < len(windows):
            low, high, _ = windows[at]
            at = _stretch(windows, sums, at, low, high)[2]
            count += 1
        return count

    low, high, _ = windows[0]
    fewest = changes(0) - 1
    middle = (low + high) / 2
    inside = sums[bisect.bisect_left(sums, low) : bisect.bisect_right(sums, high)]
    known: dict[int, int] = {}

    def serves(total: int) -> bool:
        end = _stretch(windows, sums, 0, total, total)[2]
        if end not in known:
            known[end] = changes(end)
        return known[end] == fewest

    return next(filter(serves, sorted(inside, key=lambda total: abs(total - middle))))


def point_of_braiding(
    where: Literal["high", "low"],
    hung_g: Sequence[float],
    masses: Masses,
    weights_g: Sequence[float],
    *,
    bag_g: float = 0.0,
) -> Nudge:
    """Answer what the maker sees: the point of braiding lies too high or too low.

    Too high means too light, so add; too low means too heavy, so take off: a step of 0.03 of the
    strands' pull, or the step nearest to it that the maker's weights make, never past 0.35 or
    0.55. `hung_g` are those of the weights that hang now.
    """
    own = [round(grams / _UNIT_G) for grams in weights_g]
    hung = _bits(own, [round(grams / _UNIT_G) for grams in hung_g])
    now = sum(own[i] for i in range(len(own)) if hung >> i & 1)
    hangs = bag_g + now * _UNIT_G
    usual = [
        math.floor((MOST_USUAL * masses.strands_g - masses.hangs_g - bag_g) / _UNIT_G + 1e-6),
        math.ceil((LEAST_USUAL * masses.strands_g - masses.hangs_g - bag_g) / _UNIT_G - 1e-6),
    ]
    up = where == "high"
    room = (usual[0] - now if up else now - max(0, usual[1])) * _UNIT_G
    asked = min(NUDGE * masses.strands_g, room, HEAVIEST_G if up else hangs)
    if asked < _UNIT_G:
        limit = "heavy" if up else "light"
        says = f"the counterweight is as {limit} as is usual: look at the tension of each strand"
        return Nudge(0.0, says, _EYE, tuple(hung_g))
    wanted = now + (asked if up else -asked) / _UNIT_G
    moves = _fewest_moves(own, hung, max(now, math.ceil(wanted)))
    steps = [s for s in moves if (now < s <= usual[0] if up else max(0, usual[1]) <= s < now)]
    if not steps:
        says = (
            f"about {asked:.0f} g {'more' if up else 'less'} is asked for, and no step that your"
            " weights make stays within what is usual: look at the tension of each strand"
        )
        return Nudge(0.0, says, _EYE, tuple(hung_g))
    best = min(steps, key=lambda step: (abs(step - wanted), moves[step][0]))
    then = moves[best][1]
    grams = (best - now) * _UNIT_G
    changes = (("on", _chosen(weights_g, then & ~hung)), ("off", _chosen(weights_g, hung & ~then)))
    how = "; ".join(
        f"{side}: {' + '.join(f'{g:g}' for g in sorted(moved, reverse=True))}"
        for side, moved in changes
        if moved
    )
    says = f"{'add' if up else 'take off'} {abs(grams):.4g} g ({how}), then look again"
    if abs(abs(grams) - asked) > asked / 2:
        says += f"; about {asked:.0f} g is asked for, your weights make no nearer step"
    return Nudge(grams, says, _EYE, _chosen(weights_g, then))


def _bits(own: Sequence[int], hung: Sequence[int]) -> int:
    """Which of the weights hang, as the bits of a number."""
    left = list(hung)
    bits = 0
    for i, units in enumerate(own):
        if units in left:
            left.remove(units)
            bits |= 1 << i
    return bits


def _window(
    masses: Masses, fraction: float, band: float, bag_g: float, sums: Sequence[int]
) -> tuple[float, float, bool]:
    """Find the sums, in units, that keep the share within the band; else the nearest one."""
    low = ((fraction - band) * masses.strands_g - masses.hangs_g - bag_g) / _UNIT_G
    high = ((fraction + band) * masses.strands_g - masses.hangs_g - bag_g) / _UNIT_G
    low, high = low - 1e-6, high + 1e-6
    if _any(sums, low, high):
        return low, high, True
    nearest = _nearest(sums, low, high)
    return nearest, nearest, False


def _any(sums: Sequence[int], low: float, high: float) -> bool:
    at = bisect.bisect_left(sums, low)
    return at < len(sums) and sums[at] <= high


def _nearest(sums: Sequence[int], low: float, high: float) -> int:
    """Find the sum nearest the middle of a window."""
    middle = (low + high) / 2
    at = bisect.bisect_left(sums, middle)
    return min(sums[max(0, at - 1) : at + 1], key=lambda total: abs(total - middle))


def _taken(moves: dict[int, tuple[int, int]], sums: Sequence[int], low: float, high: float) -> int:
    """Choose the weights to hang, as the bits of a number, from what serves a stretch."""
    middle, quarter = (low + high) / 2, (high - low) / 4
    inner = sums[
        bisect.bisect_left(sums, middle - quarter) : bisect.bisect_right(sums, middle + quarter)
    ]
    best = min(
        inner or [_nearest(sums, low, high)],
        key=lambda total: (moves[total][0], abs(total - middle)),
    )
    return moves[best][1]


def _fewest_moves(own: Sequence[int], hung: int, most: int) -> dict[int, tuple[int, int]]:
    """Find the sums that the weights make: how many are moved for each, and which then hang.

    Of the sums above `most` only the least is kept: the others are of no use, and a large set of
    weights makes more of them than memory holds. Sets of weights are the bits of a number.
    """
    best = {0: (0, 0)}
    for i, units in enumerate(own):
        hangs = hung >> i & 1
        grown: dict[int, tuple[int, int]] = {}
        for total, (moves, chosen) in best.items():
            for used in (0, 1):
                entry = (moves + (used != hangs), chosen | used << i)
                key = total + units * used
                if key not in grown or entry < grown[key]:
                    grown[key] = entry
        over = sorted(total for total in grown if total > most)
        for total in over[1:]:
            del grown[total]
        best = grown
    return best


def _chosen(weights_g: Sequence[float], chosen: int) -> tuple[float, ...]:
    return tuple(sorted(w for i, w in enumerate(weights_g) if chosen >> i & 1))
