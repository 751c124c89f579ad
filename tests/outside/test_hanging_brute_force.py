"""Hanging against brute force, and without neighbours against scipy's assignment."""

from __future__ import annotations

import math
from itertools import pairwise, permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.hanging import (
    Cost,
    HungPiece,
    Place,
    Rail,
    Shape,
    cost_of,
    hang,
    off_centre_mm,
)

PIECES = st.lists(
    st.builds(
        HungPiece,
        st.just("x"), st.sampled_from("abc"), st.sampled_from([40.0, 50.0, 55.0]),
        st.just(8.0), st.just(3.0),
    ),
    min_size=1, max_size=6,
)  # fmt: skip
PLACES = st.lists(
    st.builds(Place, st.sampled_from([12.0 * n for n in range(20)]), st.sampled_from([0.0, 60.0])),
    min_size=1, max_size=5, unique_by=lambda place: place.x_mm,
)  # fmt: skip
ANYWHERE = st.lists(
    st.builds(Place, st.sampled_from([0.0, 30.0, 60.0]), st.sampled_from([0.0, 25.0, 70.0, 90.0])),
    min_size=1, max_size=5, unique=True,
)  # fmt: skip


def point(place: Place) -> tuple[float, float]:
    """Where a place is in a window."""
    return place.x_mm, place.drop_mm


def neighbours(rail: Rail) -> set[tuple[int, int]]:
    """Neighbours worked out anew: next on the rail, ring-wise, or within reach."""
    order = sorted(range(len(rail.places)), key=lambda at: rail.places[at].x_mm)
    if rail.shape == "window":
        return {
            (a, b)
            for a in order
            for b in order
            if a < b and math.dist(point(rail.places[a]), point(rail.places[b])) <= rail.near_mm
        }
    found = {(min(p), max(p)) for p in pairwise(order)}
    if rail.shape == "hoop" and len(order) > 2:
        found.add((min(order[0], order[-1]), max(order[0], order[-1])))
    return found


def costs(
    rail: Rail, pieces: list[HungPiece], at: tuple[int | None, ...], before: dict[int, int]
) -> Cost:
    """The cost of an arrangement, from the words of the aim alone."""
    alike = close = 0
    for one, other in neighbours(rail):
        first, second = at[one], at[other]
        if first is None or second is None:
            continue
        a, b = pieces[first], pieces[second]
        tops = [rail.places[one].drop_mm, rail.places[other].drop_mm]
        alike += a.like == b.like
        middles = abs(tops[0] + a.length_mm / 2 - tops[1] - b.length_mm / 2)
        apart = abs(rail.places[one].x_mm - rail.places[other].x_mm)
        if rail.shape == "hoop":
            apart = min(apart, rail.round_mm - apart)
        overlap = min(tops[0] + a.length_mm, tops[1] + b.length_mm) - max(tops)
        tight = overlap > 0 and apart - (a.thickness_mm + b.thickness_mm) / 2 < rail.room_mm
        close += middles < rail.level_mm or tight
    return alike, close, sum(at[place] != piece for place, piece in before.items())


def best(rail: Rail, pieces: list[HungPiece], before: dict[int, int]) -> Cost:
    """The least cost of all arrangements that hang as many pieces as they can."""
    places, hung = len(rail.places), min(len(rail.places), len(pieces))
    blanks: list[int | None] = [None] * (places - hung)
    ways = permutations([*range(len(pieces)), *blanks], places)
    full = (way for way in ways if sum(p is not None for p in way) == hung)
    return min(costs(rail, pieces, way, before) for way in full)


@settings(max_examples=60, deadline=None)
@given(PIECES, st.sampled_from(["rail", "hoop", "window"]), st.data())
def test_no_arrangement_is_better(
    pieces: list[HungPiece], shape: Shape, data: st.DataObject
) -> None:
    """Rails, hoops and windows with more, as many or fewer pieces than places."""
    places = data.draw(ANYWHERE if shape == "window" else PLACES)
    rail = Rail(shape, tuple(places), near_mm=40.0, round_mm=260.0)
    numbers = data.draw(st.permutations(range(len(pieces))))
    before = dict(zip(range(len(places)), numbers, strict=False))
    found = hang(rail, pieces, before)
    assert found.exact
    assert found.cost == costs(rail, pieces, found.at, before) == best(rail, pieces, before)
    assert found.cost == cost_of(rail, pieces, found.at, before)


def test_a_way_that_no_swap_leads_to() -> None:
    """Where swapping two pieces betters nothing any more, the search still finds the best."""
    lengths = (("a", 55.0), ("b", 40.0), ("b", 50.0), ("b", 55.0), ("a", 40.0))
    pieces = [HungPiece(str(n), like, mm, 8, 3) for n, (like, mm) in enumerate(lengths)]
    along = ((60.0, 0.0), (216.0, 0.0), (168.0, 60.0), (228.0, 0.0), (84.0, 0.0))
    rail = Rail("rail", tuple(Place(*place) for place in along))
    before = {0: 2, 1: 3, 2: 4, 3: 0, 4: 1}
    assert hang(rail, pieces, before).cost == best(rail, pieces, before) == (0, 2, 4)


def test_eight_places_exactly() -> None:
    """Eight places and eight pieces of three kinds, against all 40,320 ways."""
    kinds = "aaabbbcc"
    pieces = [HungPiece(str(n), kind, 40 + 5.0 * (n % 3), 8, 3) for n, kind in enumerate(kinds)]
    places = tuple(Place(25.0 * n, 20.0 * (n % 2)) for n in range(8))
    rail = Rail("hoop", places, round_mm=200.0)
    before = {0: 1, 1: 0, 5: 5}
    found = hang(rail, pieces, before)
    assert found.exact
    assert found.cost == best(rail, pieces, before)


@pytest.mark.parametrize("seed", range(3))
def test_without_neighbours_it_is_an_assignment(seed: int) -> None:
    """Far apart in a window, the fewest moves are what scipy's linear_sum_assignment finds."""
    from scipy.optimize import linear_sum_assignment

    places = tuple(Place(1000.0 * n, 0.0) for n in range(7))
    pieces = [HungPiece(str(n), "a", 50, 8, 3) for n in range(7)]
    before = {place: (3 * place + seed) % 5 for place in range(6)}
    found = hang(Rail("window", places, near_mm=100.0), pieces, before)
    moved = np.array(
        [[place in before and before[place] != n for n in range(7)] for place in range(7)]
    )
    rows, columns = linear_sum_assignment(moved.astype(float))
    assert found.cost == (0, 0, int(moved[rows, columns].sum()))


def test_many_places_by_swaps() -> None:
    """Forty places and three kinds in equal numbers: swaps leave none alike side by side."""
    pieces = [HungPiece(str(n), "abc"[n * 3 // 40], 50 + n % 4 * 7, 8, 3) for n in range(40)]
    places = tuple(Place(30.0 * n, 25.0 * (n % 3)) for n in range(40))
    found = hang(Rail("rail", places), pieces)
    assert not found.exact
    assert found.cost[0] == 0


def test_a_hoops_weight_against_its_middle() -> None:
    """One piece hangs a radius off; two equal ones opposite hang in the middle."""
    places = (Place(0, 0), Place(50, 0))
    rail = Rail("hoop", places, round_mm=100.0)
    pieces = [HungPiece("a", "a", 50, 8, 3), HungPiece("b", "b", 50, 8, 3)]
    assert off_centre_mm(rail, pieces, (0, None)) == pytest.approx(100 / (2 * math.pi))
    assert off_centre_mm(rail, pieces, (0, 1)) == pytest.approx(0, abs=1e-9)
