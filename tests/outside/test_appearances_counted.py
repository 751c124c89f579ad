"""How many ways a repeat can look: against published counts and against trying all of them."""

from __future__ import annotations

from itertools import product

import pytest

from bench.design.appearances import how_many, listed
from bench.design.braid_map import braid_map
from bench.design.sheet import Cell
from bench.design.symmetry import count_appearances
from tests.support.boards import structure

NECKLACES = 36
"""OEIS A000031, n-bead necklaces with 2 colours when turning over is not allowed: a(8) = 36."""
BRACELETS = 30
"""OEIS A000029, necklaces with 2 colours when turning over is allowed: a(8) = 30."""


def test_one_bead_a_strand_is_a_necklace_of_eight() -> None:
    """Turning and climbing together act as a cycle of eight: the published 36, and 30."""
    assert how_many(structure(), 1, 2) == NECKLACES
    assert how_many(structure(), 1, 2, alike="end over end") == BRACELETS
    assert len(listed(structure(), 1, 2)) == NECKLACES


@pytest.mark.parametrize("colours", [2, 3, 4])
def test_other_numbers_of_colours_follow_the_necklace_formula(colours: int) -> None:
    """Σ φ(d)·k^(8/d) / 8 over the divisors of 8 (the formula beside OEIS A000031, by colours)."""
    phi = {1: 1, 2: 1, 4: 2, 8: 4}
    expected = sum(count * colours ** (8 // d) for d, count in phi.items()) // 8
    assert how_many(structure(), 1, colours) == expected


def _orbits_over_the_lattice(rows: int, moves: list[tuple[int, int]]) -> int:
    """Count colourings of a repeat by drawing each on the lattice and moving the drawing."""
    lies = braid_map(structure(), 0)
    period = rows * lies.row_length
    spots = {}
    for strand in range(1, 9):
        for row in range(1, rows * lies.columns + 1):
            cell = Cell(strand, row)
            spots[lies.column(cell), lies.cross(cell) % (period * lies.columns)] = (
                (row - 1) % rows * 8 + strand - 1
            )
    high = period * lies.columns
    permutations = []
    for turn, up in moves:
        found: dict[int, int] = {}
        fits = True
        for (column, cross), at in spots.items():
            assert column is not None
            target = spots.get(((column + turn) % lies.columns, (cross + up) % high))
            fits = fits and target is not None and found.setdefault(at, target) == target
        if fits:
            permutations.append(tuple(found[at] for at in range(rows * 8)))
    seen: set[tuple[int, ...]] = set()
    orbits = 0
    for colouring in product((0, 1), repeat=rows * 8):
        if colouring in seen:
            continue
        orbits += 1
        for move in permutations:
            moved = [0] * len(colouring)
            for at, to in enumerate(move):
                moved[to] = colouring[at]
            seen.add(tuple(moved))
    return orbits


def test_one_bead_a_strand_agrees_with_trying_all_on_the_lattice() -> None:
    """36 turned and climbed, 136 turned on the spot: found again by moving drawings."""
    everywhere = [(turn, up) for turn in range(6) for up in range(24)]
    assert _orbits_over_the_lattice(1, everywhere) == 36 == how_many(structure(), 1, 2)
    on_the_spot = [(turn, 0) for turn in range(6)]
    assert _orbits_over_the_lattice(1, on_the_spot) == 136
    assert how_many(structure(), 1, 2, alike="turned") == 136


def test_two_beads_a_strand_agree_with_trying_all_on_the_lattice() -> None:
    """4,150 and not the 4,116 necklaces of sixteen: the group is not one cycle of sixteen."""
    everywhere = [(turn, up) for turn in range(6) for up in range(48)]
    assert _orbits_over_the_lattice(2, everywhere) == 4150 == how_many(structure(), 2, 2)


def test_the_lemma_counts_a_known_case() -> None:
    """Four beads in a ring in two colours: 6 necklaces (OEIS A000031, a(4) = 6)."""
    ring = [tuple((at + step) % 4 for at in range(4)) for step in range(4)]
    assert count_appearances(ring, 2) == 6
