"""Circles in a circle against published ratios."""

from __future__ import annotations

import math

import pytest

from bench.craft import packing

# R. L. Graham, B. D. Lubachevsky, K. J. Nurmela, P. R. J. Östergård, "Dense packings of
# congruent circles in a circle", Discrete Math. 181 (1998) 139-154; same values: S. Kravitz,
# Math. Mag. 40 (1967) 65-71 (not opened, from memory).
PUBLISHED = (1, 2, 2.1547, 2.4142, 2.7013, 3, 3, 3.3048, 3.6131, 3.8130)

# The same tables further on, from memory: 11 to 20.
REMEMBERED = (3.9238, 4.0296, 4.2361, 4.3284, 4.5214, 4.6154, 4.7920, 4.8637, 4.8637, 5.1223)


@pytest.mark.parametrize(("circles", "value"), list(enumerate(PUBLISHED, start=1)))
def test_ratios_are_the_published_ones(circles: int, value: float) -> None:
    """One to ten equal circles in a circle."""
    assert packing.ratio(circles) == pytest.approx(value, abs=5e-5)


@pytest.mark.parametrize(("circles", "value"), list(enumerate(REMEMBERED[:9], start=11)))
def test_larger_ratios_are_the_remembered_ones(circles: int, value: float) -> None:
    """Eleven to nineteen, from memory of the same tables."""
    assert packing.ratio(circles) == pytest.approx(value, abs=1e-4)


def test_beyond_the_table_the_estimate_is_not_too_small() -> None:
    """Twenty circles need 5.1223 (from memory): the estimate is at least that, and near."""
    assert REMEMBERED[9] <= packing.ratio(20) <= 1.03 * REMEMBERED[9]


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
