"""Circles in a circle against published ratios."""

from __future__ import annotations

import math

import pytest

from bench.craft import packing

# E. Specht, "The best known packings of equal circles in a circle", cci.html, University of
# Magdeburg: 1 to 30 circles, read as a public program copies the table to ten digits; 1 to 20
# agree with the three digits of "Circle packing in a circle", en.wikipedia.org, which names the
# proofs (1 to 14 and 19; the others are the best known).
# fmt: off
PUBLISHED = (
    1, 2, 2.1547005384, 2.4142135624, 2.7013016167, 3, 3, 3.3047648710, 3.6131259298, 3.8130256314,
    3.9238044002, 4.0296019301, 4.2360679775, 4.3284285549, 4.5213569647, 4.6154255949,
    4.7920337483, 4.8637033052, 4.8637033052, 5.1223207370, 5.2523174750, 5.4397189591,
    5.5452042226, 5.6516610918, 5.7528243309, 5.8281765369, 5.9063978474, 6.0149380974,
    6.1385979040, 6.1977410709,
)
# fmt: on
TABULATED = len(packing.RATIOS)


def test_ratios_are_the_published_ones() -> None:
    """One to nineteen equal circles in a circle."""
    found = [packing.ratio(circles) for circles in range(1, TABULATED + 1)]
    assert found == pytest.approx(PUBLISHED[:TABULATED], abs=1e-7)


@pytest.mark.parametrize("circles", range(TABULATED + 1, len(PUBLISHED) + 1))
def test_beyond_the_table_the_estimate_is_not_too_small(circles: int) -> None:
    """Twenty to thirty circles have room in the estimate, and it is at most 3 % over."""
    known = PUBLISHED[circles - 1]
    assert known <= packing.ratio(circles) <= 1.03 * known


@pytest.mark.parametrize(
    ("circles", "share"), [(2, 0.5), (3, 0.464), (4, 0.414), (6, 0.333), (7, 0.333)]
)
def test_largest_strands_in_a_hole(circles: int, share: float) -> None:
    """Largest strand over hole is the inverse of the published ratio."""
    assert 1 / packing.ratio(circles) == pytest.approx(share, abs=5e-4)


def test_room_beside_two_threads_solves_the_four_circle_theorem() -> None:
    """Two threads, the wall and the circle beside them touch each other: Descartes' theorem.

    Four mutually touching circles of curvatures k: (Σk)² = 2·Σk², the wall counted negative
    (F. Soddy, "The Kiss Precise", Nature 137 (1936) 1021; from memory).
    """
    hole, thread = 0.7, 0.2
    room = packing.room_beside(hole, thread, 2)
    bends = [-2 / hole, 2 / thread, 2 / thread, 2 / room]
    assert math.fsum(bends) ** 2 == pytest.approx(2 * math.fsum(b * b for b in bends))


def test_seed_beads_take_the_threads_worked_out_by_hand() -> None:
    """A 0.7 mm hole takes 0.18 mm thread six times and 0.15 mm thread nine times.

    Two threads in three passes, and three: a figure of the trade derived from the packing, with
    a loop of wire of about 0.08 mm; it must not pass much thicker thread.
    """
    assert packing.passes(0.7, 0.18, 2 * 0.18 + 0.075) == 6
    assert packing.passes(0.7, 0.15, 2 * 0.15 + 0.075) == 9
    assert packing.passes(0.7, 0.20, 2 * 0.20 + 0.075) < 6
    assert packing.passes(0.7, 0.17, 2 * 0.17 + 0.075) < 9
