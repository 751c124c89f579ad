"""How alike two beads look: by size, shape and colour, for the maker's own eyes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property

from bench.craft.beads import BeadSize
from bench.craft.colour import COLOUR_UNIT, Vision, ciede2000, seen
from bench.craft.growth import sizes_of
from bench.craft.pattern import Bead, Pattern

FOREIGN = "?"
"""A bead that is in no load."""

SIZE_UNIT = 0.25
"""Logarithm of two diameters' ratio that does the same. Rule of thumb, no source: a ladder of
sizes steps by 0.29 to 0.36."""

SHAPE_UNIT = 1.0
"""What another shape adds to the difference, in such units. Rule of thumb, no source."""

OVERLOOKED_AT_LEAST = 0.15
"""The chance that a bead unlike the planned one in every way comes in unnoticed. Rule of thumb,
no source."""

GAP_OVERLOOKED = 0.05
"""The chance that a bead that does not come in at all is not missed. Rule of thumb, no source."""


def difference(one: Bead, other: Bead, sizes: tuple[BeadSize, BeadSize], vision: Vision) -> float:
    """How different two beads look: 0 for alike, 1 where a glance tells them apart."""
    colour = ciede2000(seen(one.colour, vision), seen(other.colour, vision)) / COLOUR_UNIT
    size = math.log(sizes[0].diameter_mm / sizes[1].diameter_mm) / SIZE_UNIT
    shape = 0.0 if one.shape == other.shape else SHAPE_UNIT
    return math.hypot(colour, size, shape)


class Likeness:
    """How easily the beads of a pattern are taken for each other; worked out when first asked.

    A bead is its letter, None for no bead, `?` for one that is in no load.
    """

    def __init__(self, pattern: Pattern, vision: Vision = "full") -> None:
        self.letters = tuple(sorted(pattern.beads))
        self._pattern, self._vision = pattern, vision

    def overlooked(self, planned: str | None, actual: str | None) -> float:
        """The chance that this bead, or none, is taken for the planned one as it comes in.

        It falls from 1 for beads that look the same to OVERLOOKED_AT_LEAST.
        """
        return self._pairs[planned, actual]

    def mistaken(self, actual: str | None, seen: str | None) -> float:
        """The share of misreadings of a bead that name this other one."""
        return self._pairs[actual, seen] / self._sums[actual]

    @cached_property
    def _sizes(self) -> Mapping[str, BeadSize]:
        return sizes_of(self._pattern)

    @cached_property
    def _pairs(self) -> dict[tuple[str | None, str | None], float]:
        beads: list[str | None] = [*self.letters, FOREIGN, None]
        return {(x, y): self._chance(x, y) for x in beads for y in beads}

    @cached_property
    def _sums(self) -> dict[str | None, float]:
        beads = list(dict.fromkeys(x for x, _ in self._pairs))
        return {x: sum(self._pairs[x, y] for y in beads if y != x) for x in beads}

    def _chance(self, x: str | None, y: str | None) -> float:
        if x == y:
            return 1.0
        if x is None or y is None:
            return GAP_OVERLOOKED
        if FOREIGN in (x, y):
            return OVERLOOKED_AT_LEAST
        sizes, beads = (self._sizes[x], self._sizes[y]), self._pattern.beads
        apart = difference(beads[x], beads[y], sizes, self._vision)
        return OVERLOOKED_AT_LEAST + (1 - OVERLOOKED_AT_LEAST) * math.exp(-(apart**2))
