"""Where every bead comes to lie: columns round the braid, heights along it.

A beaded round braid turns as it grows, so that its beads stand in columns. The radius follows
from equal beads that touch in their column and in the columns beside it; beads of mixed sizes
are then laid one cross after the other, as low as they will go. All of it is a prediction: that
an eight-strand braid shows six columns is common practice without a source, and real columns
lean a little.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

PLAIN_PITCH_THREADS = 2.4
"""Length of a plain cross in thread diameters.

Common practice, no source: four plain crosses of 0.13 mm thread make 1 to 1.5 mm of braid.
"""

_WHOLE = 1e-6


class Carried(NamedTuple):
    """A bead as it is brought in.

    `cross` counts from 1, plain crosses included; `angle_deg` is where the carried strand lay
    when the cross began, clockwise from the top, seen from above.
    """

    cross: int
    strand: int
    angle_deg: float
    diameter_mm: float
    bead: str


class PlacedBead(NamedTuple):
    """A bead in its place.

    `column` counts clockwise from above, from 0; `angle_deg` is the bead's direction in the
    braid, clockwise from column 0; `height_mm` is its centre above the start of the braid;
    `radius_mm` its centre's distance from the axis.
    """

    cross: int
    strand: int
    bead: str
    column: int
    angle_deg: float
    height_mm: float
    radius_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True)
class Lattice:
    """All beads in their places.

    `length_mm` is the whole braid, `beaded_mm` from the first bead's foot to the last bead's
    head. `diameter_mm` is the outside at the widest ring, `hollow_mm` the inside at the
    narrowest, threads not yet taken off.
    """

    columns: int
    spots: tuple[PlacedBead, ...]
    length_mm: float
    beaded_mm: float
    diameter_mm: float
    hollow_mm: float


def radius_factor(columns: int) -> float:
    """Radius of the beads' centres over the bead diameter, for two beads a cross.

    A column gets a bead every `columns`/2 crosses, and equal beads in a column touch; the column
    beside it is one cross, 2/`columns` of a bead, higher. Six columns: √(1 − 1/9) / (2 sin 30°)
    = 0.943. Raises ValueError for fewer than three columns.
    """
    if columns < 3:
        raise ValueError(f"a braid needs at least three columns of beads, not {columns}")
    return math.sqrt(1 - (2 / columns) ** 2) / (2 * math.sin(math.pi / columns))


def plain_pitch_mm(thread_mm: float) -> float:
    """Length that one plain cross adds, a rule of thumb."""
    return PLAIN_PITCH_THREADS * thread_mm


def column_of(
    angle_deg: float, cross: int, *, columns: int, turn_deg: float, zero_deg: float
) -> int:
    """Find the column of a bead brought in from `angle_deg` at `cross` (from 1).

    `zero_deg` is the place from which column 0 was filled at cross 1. The braid has turned
    `turn_deg` clockwise with each of the crosses before. Raises ValueError if the bead would lie
    between two columns.
    """
    width = 360 / columns
    place = (angle_deg - zero_deg - turn_deg * (cross - 1)) / width
    whole = round(place)
    if abs(place - whole) > _WHOLE * max(1.0, abs(place)):
        raise ValueError(
            f"the structure's columns and turn do not go with its moves: at cross {cross} the "
            f"strand from {angle_deg:g} degrees would lie between two of {columns} columns "
            f"if the braid turns {turn_deg:g} degrees a cross"
        )
    return whole % columns


def place(
    beads: Iterable[Carried],
    *,
    columns: int,
    turn_deg: float,
    crosses: int,
    plain_mm: float,
    zero_deg: float | None = None,
) -> Lattice:
    """Lay the beads, given in the order of their crosses, into columns.

    The beads of one cross share the lowest height, not below the cross before, at which none is
    nearer than half of both diameters to an earlier one. A cross that brings in no bead adds
    `plain_mm`. `crosses` is the number of all crosses, plain ones at the end included.
    `zero_deg` is explained at `column_of`; without it the first bead lies in column 0.
    Works in linear time.

    Raises ValueError if there is no bead, if the beads are not in order, if a bead would lie
    between columns, or if two beads of one cross would lie in one column.
    """
    carried = list(beads)
    if not carried:
        raise ValueError("a braid without beads has no columns")
    _check_order(carried, crosses)
    if zero_deg is None:
        zero_deg = carried[0].angle_deg - turn_deg * (carried[0].cross - 1)
    factor = radius_factor(columns)
    clearance = _Clearance(columns, factor)
    reach_mm = max(bead.diameter_mm for bead in carried)

    spots: list[PlacedBead] = []
    floor_mm = 0.0
    cross_before = 0
    start = 0
    while start < len(carried):
        cross = carried[start].cross
        stop = start
        while stop < len(carried) and carried[stop].cross == cross:
            stop += 1
        together = carried[start:stop]
        floor_mm += plain_mm * (cross - cross_before - 1)
        lowest_mm = floor_mm
        if not spots:
            lowest_mm += max(bead.diameter_mm for bead in together) / 2
        cells = [
            column_of(bead.angle_deg, cross, columns=columns, turn_deg=turn_deg, zero_deg=zero_deg)
            for bead in together
        ]
        if len(set(cells)) < len(cells):
            raise ValueError(
                f"the structure's columns and turn do not go with its moves: "
                f"at cross {cross} two beads would lie in one column"
            )
        height_mm = lowest_mm
        for earlier in reversed(spots):
            if earlier.height_mm + reach_mm <= lowest_mm:
                break
            for bead, column in zip(together, cells, strict=True):
                rise_mm = clearance.rise_mm(
                    (column - earlier.column) % columns, bead.diameter_mm, earlier.diameter_mm
                )
                height_mm = max(height_mm, earlier.height_mm + rise_mm)
        for bead, column in zip(together, cells, strict=True):
            spots.append(
                PlacedBead(
                    cross,
                    bead.strand,
                    bead.bead,
                    column,
                    (bead.angle_deg - zero_deg - turn_deg * (cross - 1)) % 360,
                    height_mm,
                    factor * bead.diameter_mm,
                    bead.diameter_mm,
                )
            )
        floor_mm, cross_before, start = height_mm, cross, stop

    foot_mm = min(spot.height_mm - spot.diameter_mm / 2 for spot in spots[: 2 * columns])
    head_mm = max(spot.height_mm + spot.diameter_mm / 2 for spot in spots[-4 * columns :])
    return Lattice(
        columns,
        tuple(spots),
        length_mm=head_mm + plain_mm * (crosses - cross_before),
        beaded_mm=head_mm - foot_mm,
        diameter_mm=max(2 * s.radius_mm + s.diameter_mm for s in spots),
        hollow_mm=min(2 * s.radius_mm - s.diameter_mm for s in spots),
    )


def _check_order(carried: Sequence[Carried], crosses: int) -> None:
    before = 1
    for bead in carried:
        if bead.cross < before:
            raise ValueError("the beads must be given in the order of their crosses, from 1")
        if not bead.diameter_mm > 0:
            raise ValueError(f"bead {bead.bead} must be thicker than {bead.diameter_mm:g} mm")
        before = bead.cross
    if before > crosses:
        raise ValueError(f"a bead comes in at cross {before}, but there are only {crosses}")


class _Clearance:
    """How much higher than an earlier bead a new one must lie, remembered by kind of pair."""

    def __init__(self, columns: int, factor: float) -> None:
        self._factor = factor
        self._cosines = [math.cos(2 * math.pi * step / columns) for step in range(columns)]
        self._known: dict[tuple[int, float, float], float] = {}

    def rise_mm(self, apart: int, a_mm: float, b_mm: float) -> float:
        key = (apart, a_mm, b_mm)
        rise = self._known.get(key)
        if rise is None:
            level = self._factor**2 * (a_mm**2 + b_mm**2 - 2 * a_mm * b_mm * self._cosines[apart])
            rise = math.sqrt(max(0.0, ((a_mm + b_mm) / 2) ** 2 - level))
            self._known[key] = rise
        return rise
