"""Which dye lot each lot of pieces takes, so that as few as can be mix two of them.

In this order: lots that are begun keep the dye lot that they have; then the fewest lots of pieces
mix; then the fewest tubes are newly opened; then the largest whole tube is left. The lots that mix
come last, and take what is over.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

EXACT_TO = 12
"""So many lots of pieces are shared out exactly: every subset is looked at."""

Price = tuple[int, float]
"""Tubes newly opened, and the largest whole tube left, below zero: less is better in both."""


@dataclass(frozen=True, slots=True)
class DyeTube:
    """A tube of one dye lot, with so many beads in it."""

    dye_lot: str
    beads: float
    opened: bool = False


@dataclass(frozen=True, slots=True)
class DyeWant:
    """A lot of pieces that takes so many beads, spare included; `begun` with a dye lot, or not."""

    name: str
    beads: int
    begun: str | None = None


@dataclass(frozen=True, slots=True)
class SharedOut:
    """The dye lot of each want, None where it mixes. `best`: how few can mix at the least."""

    dye_lots: tuple[str | None, ...]
    opened: int
    largest_left: float
    exact: bool
    best: int


@lru_cache(maxsize=256)
def share_out(wants: tuple[DyeWant, ...], tubes: tuple[DyeTube, ...]) -> SharedOut:
    """Give every lot of pieces its dye lot: exactly up to EXACT_TO lots, else by a rule.

    The rule: those that are begun first, then the smallest; each takes the dye lot that has the
    least over for it. Its `best` is a bound: as many of the smallest as the beads in all could be
    enough for, each no larger than the largest dye lot.
    """
    by_lot = _by_lot(tubes)
    if len(wants) <= EXACT_TO:
        return _exactly(wants, by_lot)
    return _by_rule(wants, by_lot)


def price_of(tubes: Sequence[DyeTube], beads: float) -> Price | None:
    """What it takes to draw so many beads from a dye lot's tubes; None if they are not enough."""
    need = beads - sum(tube.beads for tube in tubes if tube.opened)
    whole = sorted((tube.beads for tube in tubes if not tube.opened), reverse=True)
    if need <= 1e-9:
        return 0, -whole[0] if whole else 0.0
    reach = list(accumulate(whole))
    opened = next((n for n, sum_ in enumerate(reach, 1) if sum_ >= need - 1e-9), None)
    if opened is None:
        return None
    # The largest is left over if the ones before it and the next largest are enough.
    for left in range(opened + 1):
        if left == len(whole):
            break
        others = whole[:left] + whole[left + 1 : opened + 1]
        if sum(others) >= need - 1e-9:
            return opened, -whole[left]
    return opened, 0.0


def _by_lot(tubes: Sequence[DyeTube]) -> Mapping[str, tuple[DyeTube, ...]]:
    found: dict[str, list[DyeTube]] = {}
    for tube in tubes:
        if tube.beads > 0:
            found.setdefault(tube.dye_lot, []).append(tube)
    return {name: tuple(found[name]) for name in sorted(found)}


def _exactly(wants: Sequence[DyeWant], by_lot: Mapping[str, tuple[DyeTube, ...]]) -> SharedOut:
    """Look at every subset of the lots: for each, the best way to serve it by some dye lots."""
    everyone = (1 << len(wants)) - 1
    kept: dict[int, tuple[Price, dict[str, int]]] = {0: ((0, 0.0), {})}
    for name, tubes in by_lot.items():
        able = _mask([want.begun in (None, name) for want in wants])
        prices = dict(_prices(wants, tubes, able))
        better: dict[int, tuple[Price, dict[str, int]]] = {}
        for served, (price, parts) in kept.items():
            for part in _subsets(everyone & ~served & able):
                if part not in prices:
                    continue
                more = prices[part]
                found = (price[0] + more[0], min(price[1], more[1]))
                known = better.get(served | part)
                if known is None or found < known[0]:
                    better[served | part] = (found, {**parts, name: part})
        kept = better
    begun = _mask([want.begun is not None for want in wants])
    best = min(
        kept,
        key=lambda served: (
            -(served & begun).bit_count(),
            -served.bit_count(),
            kept[served][0],
            served,
        ),
    )
    price, parts = kept[best]
    lots = tuple(
        next((name for name, part in parts.items() if part >> number & 1), None)
        for number in range(len(wants))
    )
    return SharedOut(lots, price[0], -price[1], True, lots.count(None))


def _mask(chosen: Sequence[bool]) -> int:
    return sum(1 << number for number, is_chosen in enumerate(chosen) if is_chosen)


def _subsets(mask: int) -> Iterator[int]:
    """Every subset of a mask, the empty one last."""
    part = mask
    while True:
        yield part
        if not part:
            return
        part = (part - 1) & mask


def _prices(
    wants: Sequence[DyeWant], tubes: Sequence[DyeTube], able: int
) -> Iterator[tuple[int, Price]]:
    """The price of every subset that a dye lot is enough for."""
    for part in _subsets(able):
        beads = sum(want.beads for number, want in enumerate(wants) if part >> number & 1)
        price = price_of(tubes, beads)
        if price is not None:
            yield part, price


def _by_rule(wants: Sequence[DyeWant], by_lot: Mapping[str, tuple[DyeTube, ...]]) -> SharedOut:
    left = {name: sum(tube.beads for tube in tubes) for name, tubes in by_lot.items()}
    in_all, largest = sum(left.values()), max(left.values(), default=0.0)
    given: list[str | None] = [None] * len(wants)
    order = sorted(range(len(wants)), key=lambda at: (wants[at].begun is None, wants[at].beads, at))
    for at in order:
        want = wants[at]
        fits = [
            name
            for name, beads in left.items()
            if want.begun in (None, name) and beads >= want.beads - 1e-9
        ]
        if fits:
            name = min(fits, key=lambda one: (left[one], one))
            left[name] -= want.beads
            given[at] = name
    small = sorted(want.beads for want in wants if want.beads <= largest + 1e-9)
    enough = sum(reach <= in_all + 1e-9 for reach in accumulate(small))
    used = {
        name: sum(w.beads for w, lot in zip(wants, given, strict=True) if lot == name)
        for name in by_lot
    }
    prices = [price_of(by_lot[name], beads) or (0, 0.0) for name, beads in used.items()]
    return SharedOut(
        tuple(given),
        sum(opened for opened, _ in prices),
        -min((largest_left for _, largest_left in prices), default=0.0),
        False,
        len(wants) - enough,
    )
