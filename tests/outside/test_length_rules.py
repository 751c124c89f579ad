"""Predicted lengths and thicknesses against published rules, worked out here from their words."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bench.craft import packing
from bench.craft.growth import grow, sizes_of
from bench.craft.thickness import at_most_mm
from bench.documents.folders import Entry
from bench.documents.library import Library

LIBRARY = Library(Path("nowhere"))

# Beads of each strand to an inch of braid, eight strands, by the published beads per inch and
# rule of 1 : 2: half of 23, 17 and 11 (Esther Beadwork, 3 Oct 2013), and of 9 to 10 (not
# confirmed). Rondelle and 13/0: 25 (beadfx.blogspot.com, May 2016).
TO_AN_INCH = {"15/0": (11.5,), "13/0": (12.5,), "11/0": (8.5,), "8/0": (5.5,), "6/0": (4.5, 5.0)}

# Length along the hole in mm, the measures of the trade.
ALONG = {"15/0": 1.1, "13/0": 1.0, "11/0": 1.5, "8/0": 2.2, "6/0": 2.7, "3.4 mm": 3.2}

BEADED = [entry for entry in LIBRARY.patterns() if entry.name != "landing-cord"]


@pytest.mark.parametrize("entry", BEADED, ids=lambda entry: entry.name)
def test_every_shipped_range_holds_the_rule_and_the_beads_per_inch(entry: Entry) -> None:
    """R. A. Combs, designandadorn.com, 1 Aug 2018, tip 6: strung to braided as 1 to 2."""
    for size in (None, *LIBRARY.plan(entry.path).pattern.sizes):
        plan = LIBRARY.plan(entry.path).resolved(size)
        growth = grow(plan, sizes_of(plan.pattern), plain_mm=0.0)
        names = [
            [plan.pattern.beads[letter].size for letter in load if letter != "-"]
            for load in plan.loads
        ]
        rule = 2 * sum(ALONG[name] for load in names for name in load) / plan.strands
        assert growth.low_mm - 1e-6 <= rule <= growth.high_mm + 1e-6
        for end in (0, -1):
            inches = sum(
                1 / TO_AN_INCH[name][end] if name in TO_AN_INCH else 2 * ALONG[name] / 25.4
                for load in names
                for name in load
            )
            by_inch = 25.4 * inches / plan.strands
            assert growth.low_mm - 1e-6 <= by_inch <= growth.high_mm + 1e-6


# Rings of circles inside a circle, of those published as densest packings: 3 to 6 in a ring, 6, 7
# and 8 round one more (R. L. Graham and others, Discrete Math. 181 (1998) 139-154).
RINGS = {3: 2.1547, 4: 2.4142, 5: 2.7013, 6: 3.0, 7: 3.3048, 8: 3.6131}


@pytest.mark.parametrize(("strands", "ratio"), RINGS.items())
def test_the_bound_is_the_published_ring_of_circles(strands: int, ratio: float) -> None:
    """A row of beads side by side is as thick as so many circles in a ring."""
    assert at_most_mm(1.0, strands) == pytest.approx(ratio, abs=5e-5)


@pytest.mark.parametrize(
    ("strands", "least_mm"),
    [
        # Six columns of 8/0: 2.89 of a bead. Twelve and sixteen strands: the area per bead of
        # six columns, taken with the 1 : 2 rule (about 10.8 and 13.5 mm, nothing published).
        (8, 2.89 * 3.0),
        (12, 10.8),
        (16, 13.5),
    ],
)
def test_the_bound_holds_against_packing(strands: int, least_mm: float) -> None:
    """No way to lay 8/0 that is known stands thicker than what is said to be the most."""
    assert at_most_mm(3.0, strands) >= least_mm


@pytest.mark.parametrize("strands", [4, 8, 12, 16])
def test_a_beadless_cord_is_no_denser_than_the_densest_packing(strands: int) -> None:
    """Equal circles fill at most π/√12 = 0.9069 of a plane (A. Thue, 1910; from memory)."""
    assert strands / packing.ratio(strands) ** 2 <= math.pi / math.sqrt(12)
