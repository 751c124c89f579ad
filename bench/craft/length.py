"""How long a braid gets, by each of the rules that there are, until a piece is measured."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from bench.craft.beads import BeadSize, find

INCH_MM = 25.4

PER_INCH: dict[tuple[str, str], tuple[float, float]] = {
    ("15/0", "round"): (23, 23),
    ("13/0", "round"): (25, 25),
    ("11/0", "round"): (17, 17),
    ("8/0", "round"): (11, 11),
    ("6/0", "round"): (9, 10),
    ("3 mm", "round"): (8.3, 8.3),
    ("4 mm", "round"): (6.25, 6.25),
}
"""Beads to 25.4 mm as strung, fewest and most, by size and shape.

Esther Beadwork, How many seed beads are in that tube?, 3 Oct 2013 (15/0, 11/0, 8/0); counted with
calipers: beadfx.blogspot.com, May 2016 (13/0); gemsociety.org, Bead and necklace size charts
(3 mm, 4 mm); 6/0: 9 to 10, not confirmed.
"""

RULE_DOUBT = 0.15
"""How far the 1 : 2 rule and touching columns differ, over either, from 15/0 to 6/0.

What is granted to both sides of the rule where the columns of a braid are not known.
"""

PLAIN_DOUBT = 0.2
"""How far a plain cross may be off its rule of thumb: four of them make 1 to 1.5 mm of braid."""


@dataclass(frozen=True, slots=True)
class LengthFigure:
    """What one rule makes of a braid, in mm, plain crosses included; whose rule it is."""

    mm: float
    by: str
    source: str


@dataclass(frozen=True, slots=True)
class LengthRange:
    """The least and the greatest length by all rules, in mm, and the figures it rests on."""

    low_mm: float
    high_mm: float
    figures: tuple[LengthFigure, ...]

    @property
    def middle_mm(self) -> float:
        """The length that is as many times the least as the greatest is of it."""
        return math.sqrt(self.low_mm * self.high_mm)


def length_by_rule_mm(strung_mm: float) -> float:
    """Braid length from the length of beads strung on each strand.

    The published 1 : 2 rule, for any size: R. A. Combs, designandadorn.com, 1 Aug 2018, tip 6.
    """
    return 2 * strung_mm


def per_inch_mm(bead: BeadSize) -> tuple[float, float]:
    """Length of a strung bead by the counts per inch, least and greatest.

    Where none was printed, or the bead's length is the maker's own, that length is both.
    """
    counts = PER_INCH.get((bead.name, bead.shape))
    if counts is None or bead.length_mm != find(bead.name, bead.shape).length_mm:
        return bead.length_mm, bead.length_mm
    return INCH_MM / counts[1], INCH_MM / counts[0]


def by_rules(beads: Iterable[tuple[BeadSize, float]], plain_mm: float) -> tuple[LengthFigure, ...]:
    """The 1 : 2 rule by the table's lengths of beads, and by the counts per inch.

    `beads` are kinds of bead with how many of each a strand holds on the average; `plain_mm` is
    the length of the plain crosses.
    """
    strung = list(beads)
    table = math.fsum(count * bead.length_mm for bead, count in strung)
    counted = [
        math.fsum(count * per_inch_mm(bead)[end] for bead, count in strung) for end in (0, 1)
    ]
    rule = "1:2 rule, R. A. Combs, designandadorn.com, 2018"
    inch = f"beads per inch, Esther Beadwork, 2013, and the {rule}"
    found = [LengthFigure(plain_mm + length_by_rule_mm(table), "1:2 rule", rule)]
    for strung_mm in dict.fromkeys(counted):
        mm = plain_mm + length_by_rule_mm(strung_mm)
        found.append(LengthFigure(mm, "beads per inch", inch))
    return tuple(found)


def range_of(figures: tuple[LengthFigure, ...], doubt: float = 0.0) -> LengthRange:
    """The range that holds every figure, and so much of the first one to both sides."""
    first = figures[0].mm
    held = [figure.mm for figure in figures]
    return LengthRange(min(*held, first * (1 - doubt)), max(*held, first * (1 + doubt)), figures)
