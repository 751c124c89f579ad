"""A shape from a wish: rows of bead sizes whose outline comes nearest to what the maker asks for.

The braid grows row by row as the lattice of columns says, and how much a row adds depends on it and
the two rows before it, and on nothing else. So the best rows are found by dynamic programming: of
all beginnings that end with the same two rows at the same height only the best is kept.
"""

from __future__ import annotations

import math
import string
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate

from bench.craft.beads import BeadSize, steps_by_one
from bench.craft.growth import grow
from bench.craft.lattice import radius_factor
from bench.craft.pattern import Pattern, Threads
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault

LENGTH_WEIGHT = 0.2
"""Weight of a squared mm of length beside a squared mm of thickness; a rule of thumb, no source.

A drop half a centimetre too short is about as far from the wish as one a millimetre too thick.
"""
EXACT_ROWS = 8
"""Up to so many rows every beginning is kept apart; above, those within `GRID_MM` are one."""
COARSE_MM = 1.5
GRID_MM = 0.2
"""Beginnings of longer braids are taken for alike within so much height; the height stays exact."""
SLENDER_END_MM = 2.2
"""A braid begins and ends on beads no thicker, or on the smallest at hand; common practice."""
FAR_OFF_MM = 2.0
"""A wish that is missed by more is not met; a rule of thumb, no source."""
SCALE_ROWS = 24
PROPOSALS = 3
MOST_ROWS = 80
"""A shape of more rows is a rope, whose length is made of whole repeats."""


@dataclass(frozen=True)
class Wish:
    """What is asked for, in mm.

    `thickness`: pairs of where along the length, from 0 at the top to 1, and how thick the braid
    is there; between them the outline runs straight, and beyond the outer ones it stays as it is.
    `sizes`: the beads at hand, smallest first. `most_mm` and `least_mm`: bounds of the length.
    """

    length_mm: float
    thickness: tuple[tuple[float, float], ...]
    sizes: tuple[BeadSize, ...]
    length_weight: float = LENGTH_WEIGHT


@dataclass(frozen=True)
class Fit:
    """Rows that answer a wish.

    `rows`: the size of each row, as a number among the wish's sizes. `cost`: weighted squared
    deviations in mm². `off_mm`: at each wished height, how much thicker (+) or thinner (-) the
    braid is there. `in_the_way`: the wish that is not met, and why; empty where it comes near.
    """

    rows: tuple[int, ...]
    cost: float
    length_mm: float
    off_mm: tuple[float, ...]
    wish: Wish = field(repr=False)
    in_the_way: str = ""

    @property
    def too_long_mm(self) -> float:
        """How much longer (+) or shorter (-) than wished it gets."""
        return self.length_mm - self.wish.length_mm

    @property
    def largest(self) -> int:
        """The largest size in it."""
        return max(self.rows)


def thickness_mm(size: BeadSize, columns: int) -> float:
    """How thick a braid of equal beads is: twice the radius of their centres, and a bead."""
    return size.diameter_mm * (1 + 2 * radius_factor(columns))


def row_growth(structure: Structure, sizes: Sequence[BeadSize]) -> RowGrowth:
    """How rows of these sizes grow on a structure, all strands alike, by the growth model."""
    beads = dict(zip(string.ascii_lowercase, sizes, strict=False))
    bare = Pattern(
        format=1,
        title="rows alone",
        structure="any",
        plain_start=0,
        plain_end=0,
        crosses=1,
        threads=Threads(diameter_mm=1.0),
    )

    def grown(rows: Sequence[int]) -> tuple[list[float], float]:
        """The height of the laid beads after each row, and the predicted length beside it."""
        load = "".join(string.ascii_lowercase[row] for row in rows)
        plan = Plan(bare, structure, (load,) * structure.strands)
        growth = grow(plan, beads)
        heads = [0.0] * (len(rows) + 1)
        for bead in growth.lattice.spots if growth.lattice else ():
            row = (bead.cross - 1) // plan.row_length + 1
            heads[row] = max(heads[row], bead.height_mm + bead.diameter_mm / 2)
        return heads, growth.length_mm

    # Beads as they are laid are one rule for the length; what the others add goes by the size.
    scales = []
    for size in range(len(sizes)):
        heads, length_mm = grown([size] * SCALE_ROWS)
        scales.append(length_mm / heads[-1])

    def tops(rows: tuple[int, ...]) -> Sequence[float]:
        heads, _ = grown(rows)
        rises = (scales[row] * (heads[at + 1] - heads[at]) for at, row in enumerate(rows))
        return list(accumulate(rises))

    return RowGrowth(tops)


class RowGrowth:
    """How much a row adds to the length, from it and the two rows before it, remembered.

    `tops` gives the height in mm of the braid after each of some rows, by the growth model.
    """

    def __init__(self, tops: Callable[[tuple[int, ...]], Sequence[float]]) -> None:
        self._tops = tops
        self._known: dict[tuple[int, ...], float] = {}

    def rise_mm(self, rows: tuple[int, ...]) -> float:
        """What the last of one, two or three rows adds; of one or two they are the first ones."""
        found = self._known.get(rows)
        if found is None:
            tops = self._tops(rows)
            found = tops[-1] - (tops[-2] if len(rows) > 1 else 0.0)
            self._known[rows] = found
        return found

    def top_mm(self, rows: Sequence[int]) -> list[float]:
        """The height after each of any number of rows."""
        tops, top = [], 0.0
        for at in range(len(rows)):
            # The first two rows lie on what was there before; later ones on the two before them.
            top += self.rise_mm(tuple(rows[max(0, at - 2) : at + 1]))
            tops.append(top)
        return tops


def may_follow(sizes: Sequence[BeadSize]) -> list[tuple[int, ...]]:
    """For each size, the sizes that a row after it can have: itself and those a step away."""
    return [
        tuple(b for b in range(len(sizes)) if a == b or steps_by_one(sizes[a], sizes[b]))
        for a in range(len(sizes))
    ]


def may_end(sizes: Sequence[BeadSize]) -> tuple[int, ...]:
    """The sizes on which a braid can begin and end."""
    smallest = min(range(len(sizes)), key=lambda n: sizes[n].diameter_mm)
    return tuple(n for n, s in enumerate(sizes) if n == smallest or s.diameter_mm <= SLENDER_END_MM)


class Outline:
    """The wished outline, and what a row of a size costs at its place in it."""

    def __init__(self, wish: Wish, columns: int) -> None:
        self._points = sorted((at * wish.length_mm, mm) for at, mm in wish.thickness)
        self._length_mm = wish.length_mm
        self._thick = [thickness_mm(size, columns) for size in wish.sizes]

    def mm(self, height_mm: float) -> float:
        """The wished thickness at a height from the top."""
        low, thin = self._points[0]
        if height_mm <= low:
            return thin
        for high, thick in self._points[1:]:
            if height_mm <= high:
                return thin + (thick - thin) * (height_mm - low) / (high - low)
            low, thin = high, thick
        return thin

    def row_cost(self, row: int, before_mm: float, rise_mm: float) -> float:
        """The squared deviation of a row in mm², by its share of the wished length."""
        off = self._thick[row] - self.mm(before_mm + rise_mm / 2)
        return off * off * rise_mm / self._length_mm


_Alike = tuple[int, int, int, int]
"""What makes two beginnings alike: the last two rows, the largest size, the height's step."""


@dataclass(slots=True)
class _Begun:
    """The best beginning with its last two rows at its height."""

    cost: float
    top_mm: float
    row: int
    before: _Begun | None

    def rows(self) -> tuple[int, ...]:
        found = []
        at: _Begun | None = self
        while at is not None:
            found.append(at.row)
            at = at.before
        return tuple(reversed(found))


def fit_rows(
    wish: Wish, growth: RowGrowth, columns: int, *, most_rows: int = MOST_ROWS
) -> tuple[Fit, ...]:
    """Up to three proposals, the best first, that differ in the largest size or by two rows.

    Raises Fault where no rows can meet the wish at all: it names what is in the way.
    """
    _check(wish)
    largest_mm = max(growth.rise_mm((row,) * 3) for row in range(len(wish.sizes)))
    if wish.length_mm > most_rows * largest_mm:
        raise Fault(
            f"{wish.length_mm:,.0f} mm takes more than {most_rows} rows of these beads;"
            f" {most_rows} rows at most are shaped, a longer braid is made of whole repeats"
        )
    if most_rows <= EXACT_ROWS:
        return _that_differ(_search(wish, growth, columns, most_rows, 1e-7), wish, growth, columns)
    # A quick look finds proposals; the careful one then leaves out what already costs more.
    found = _search(wish, growth, columns, most_rows, COARSE_MM)
    quick = _that_differ(found, wish, growth, columns)
    bound = quick[-1].cost if len(quick) == PROPOSALS else math.inf
    found = _search(wish, growth, columns, most_rows, GRID_MM, bound)
    return _that_differ(found, wish, growth, columns)


def _search(
    wish: Wish,
    growth: RowGrowth,
    columns: int,
    most_rows: int,
    grid_mm: float,
    bound: float = math.inf,
) -> dict[tuple[int, int], Fit]:
    """The best rows for each largest size and number of rows, none that cost more than a bound."""
    best: dict[tuple[int, int], Fit] = {}
    ends = may_end(wish.sizes)
    following = may_follow(wish.sizes)
    outline = Outline(wish, columns)
    reach_mm = wish.length_mm + math.sqrt(bound / wish.length_weight)
    reach_mm = min(reach_mm, wish.length_mm + 2 * max(size.diameter_mm for size in wish.sizes))
    layer: dict[_Alike, _Begun] = {}
    for row in ends:
        rise = growth.rise_mm((row,))
        cost = outline.row_cost(row, 0.0, rise)
        layer[-1, row, row, round(rise / grid_mm)] = _Begun(cost, rise, row, None)
    for count in range(1, most_rows + 1):
        for (_, row, largest, _), begun in layer.items():
            if row in ends:
                _keep(best, begun, largest, count, wish)
        following_layer: dict[_Alike, _Begun] = {}
        for (before, row, largest, _), begun in layer.items():
            for new in following[row]:
                rise = growth.rise_mm((before, row, new) if before >= 0 else (row, new))
                top = begun.top_mm + rise
                cost = begun.cost + outline.row_cost(new, begun.top_mm, rise)
                if top > reach_mm or cost > bound:
                    continue
                key = (row, new, max(largest, new), round(top / grid_mm))
                known = following_layer.get(key)
                if known is None or cost < known.cost:
                    following_layer[key] = _Begun(cost, top, new, begun)
        layer = following_layer
        if not layer:
            break
    return best


def _keep(
    best: dict[tuple[int, int], Fit], begun: _Begun, largest: int, count: int, wish: Wish
) -> None:
    cost = begun.cost + wish.length_weight * (begun.top_mm - wish.length_mm) ** 2
    known = best.get((largest, count))
    if known is None or cost < known.cost:
        best[largest, count] = Fit(begun.rows(), cost, begun.top_mm, (), wish)


def _that_differ(
    best: dict[tuple[int, int], Fit], wish: Wish, growth: RowGrowth, columns: int
) -> tuple[Fit, ...]:
    chosen: list[Fit] = []
    for fit in sorted(best.values(), key=lambda fit: (fit.cost, fit.rows)):
        if all(
            fit.largest != other.largest or abs(len(fit.rows) - len(other.rows)) >= 2
            for other in chosen
        ):
            off = _off_mm(fit.rows, wish, growth, columns)
            near = replace(fit, off_mm=off)
            chosen.append(replace(near, in_the_way=_in_the_way(near, columns)))
        if len(chosen) == PROPOSALS:
            break
    return tuple(chosen)


def _off_mm(rows: Sequence[int], wish: Wish, growth: RowGrowth, columns: int) -> tuple[float, ...]:
    """How far the braid is off at each wished height, taken along the length that it gets."""
    tops = growth.top_mm(rows)
    found = []
    for at, mm in wish.thickness:
        row = next((n for n, top in enumerate(tops) if top >= at * tops[-1]), len(rows) - 1)
        found.append(thickness_mm(wish.sizes[rows[row]], columns) - mm)
    return tuple(found)


def _in_the_way(fit: Fit, columns: int) -> str:
    """The wish that is missed most, if by more than FAR_OFF_MM, and what is in a thickness's way.

    A mm of length counts for as much as its weight gives it beside a mm of thickness.
    """
    wish = fit.wish
    wished = zip(fit.off_mm, wish.thickness, strict=True)
    off, (at, mm) = max(wished, key=lambda one: abs(one[0]))
    length_off = math.sqrt(wish.length_weight) * abs(fit.too_long_mm)
    if max(length_off, abs(off)) <= FAR_OFF_MM:
        return ""
    if length_off > abs(off):
        return f"{abs(fit.too_long_mm):.1f} mm too {'long' if fit.too_long_mm > 0 else 'short'}"
    where = {0.0: "at the top", 1.0: "at the end"}.get(at, f"{100 * at:.0f} % down")
    why = "sizes change by one step from row to row"
    at_hand = [thickness_mm(size, columns) for size in wish.sizes]
    if math.isclose(mm + off, min(at_hand) if off > 0 else max(at_hand)):
        why = f"no {'smaller' if off > 0 else 'larger'} size is at hand"
    elif off < 0 and at in {0, 1}:
        why = "a braid begins and ends on small beads"
    return f"{abs(off):.1f} mm too {'thick' if off > 0 else 'thin'} {where}: {why}"


def _check(wish: Wish) -> None:
    if not wish.length_mm > 0:
        raise Fault(f"a length of {wish.length_mm:g} mm cannot be braided")
    if not wish.sizes:
        raise Fault("name at least one size of beads at hand")
    if not wish.thickness:
        raise Fault("say how thick it is to be, at one height at least")
    for at, mm in wish.thickness:
        if not 0 <= at <= 1:
            raise Fault(f"a height is a part of the length, from 0 to 1, not {at:g}")
        if not mm > 0:
            raise Fault(f"a thickness of {mm:g} mm cannot be braided")
