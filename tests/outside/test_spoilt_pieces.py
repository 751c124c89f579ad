"""Pieces that are spoilt on the way, against scipy's negative binomial distributions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.inspection import Outcomes
from bench.commission.made_again import with_made_again
from bench.commission.needs import WorkedLot, needs_of
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.documents.stock import Shelf, Stock
from bench.making.worked_pattern import WorkedPattern
from bench.pace.work_ahead import LEAST_CHANCE, _made_again


@pytest.mark.parametrize("fresh", [1, 4, 24, 200])
@pytest.mark.parametrize(("spoilt", "good"), [(1.0, 39.0), (2.5, 20.0), (6.0, 30.0), (40.0, 100.0)])
def test_pieces_made_again_are_as_scipy_says(fresh: int, spoilt: float, good: float) -> None:
    """scipy.stats.betanbinom: chances of so many spoilt until `fresh` are good, taken together.

    Each group has the chance of the numbers in it, and their mean; no group is left out.
    """
    from scipy import stats

    found = _made_again(fresh, spoilt, good)
    numbers = np.arange(4000)
    chances = stats.betanbinom.pmf(numbers, fresh, good, spoilt)
    ends = np.cumsum(chances)
    first, so_far = 0, 0.0
    for chance, number in found:
        so_far += chance
        end = int(np.argmin(np.abs(ends - so_far)))
        assert ends[end] == pytest.approx(so_far, abs=3e-6)
        own = slice(first, end + 1)
        assert chances[own].sum() == pytest.approx(chance, abs=3e-6)
        assert number == pytest.approx(
            float(numbers[own] @ chances[own] / chances[own].sum()), rel=2e-3, abs=1e-6
        )
        if end > first:
            assert chances[first:end].sum() < LEAST_CHANCE
        first = end + 1
    assert so_far == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("wanted", "good", "spoilt"), [(1, 1, 1), (24, 9, 1), (40, 9, 1), (40, 57, 3), (200, 20, 10)]
)
def test_pieces_to_reckon_with_are_the_quantile_of_scipy(
    wanted: int, good: int, spoilt: int
) -> None:
    """scipy.stats.nbinom: so many to begin that fewer than `wanted` come out good 1 time in 20."""
    from scipy import stats

    made = WorkedPattern.from_library(Library(None), Settings(), "cistern")
    outcomes = Outcomes(good, spoilt)
    told = needs_of(
        "x", [WorkedLot("A", made, wanted)], Shelf(Stock(format=1), None), Settings(), outcomes
    )
    reckoned = wanted + int(stats.nbinom.ppf(0.95, wanted, good / (good + spoilt)))
    assert any(f"for {wanted} good ones reckon with {reckoned}" in said for said in told.rests_on)


@settings(max_examples=50)
@given(st.lists(st.integers(1, 40), min_size=1, max_size=6), st.integers(1, 60), st.integers(1, 20))
def test_what_is_to_be_begun_is_shared_out(pieces: list[int], good: int, spoilt: int) -> None:
    """Added up it is scipy's quantile; no lot gets a piece more than its share, rounded up."""
    from scipy import stats

    found = with_made_again(pieces, Outcomes(good, spoilt), 0.05)
    wanted = sum(pieces)
    more = int(stats.nbinom.ppf(0.95, wanted, good / (good + spoilt)))
    assert sum(found) == wanted + more
    for count, begun in zip(pieces, found, strict=True):
        assert 0 <= begun - count - (more * count) // wanted <= 1


def test_beads_are_bought_for_pieces_made_again() -> None:
    """Counted in, the beads are those of so many pieces as are to be begun, and it is said so."""
    from scipy import stats

    made = WorkedPattern.from_library(Library(None), Settings(), "cistern")
    shelf, lots = Shelf(Stock(format=1), None), [WorkedLot("A", made, 40)]
    told = needs_of("x", lots, shelf, Settings(), Outcomes(9, 1), made_again=True)
    more = 40 + int(stats.nbinom.ppf(0.95, 40, 0.9))
    plain = needs_of("x", [WorkedLot("A", made, more)], shelf, Settings())
    assert (told.beads, told.pieces) == (plain.beads, more)
    assert any("made again are counted: 1 of your 10" in said for said in told.rests_on)
