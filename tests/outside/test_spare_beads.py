"""How many beads to have, against scipy's negative binomial distribution."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.spare import Spare, lost_or_culled


@settings(max_examples=300)
@given(
    st.integers(1, 20_000),
    st.sampled_from([0.01, 0.05, 0.1, 0.3, 0.335, 0.6, 0.9]),
    st.sampled_from([0.001, 0.01, 0.05, 0.2, 0.5]),
)
def test_beads_to_have_are_the_quantile_of_scipy(count: int, lost: float, short: float) -> None:
    """scipy.stats.nbinom: the fewest lost beads that are exceeded with the stated chance only."""
    from scipy import stats

    quantile = stats.nbinom.ppf(1 - short, count, 1 - lost)
    assert Spare(lost, short).beads_for(count) == count + quantile


@pytest.mark.parametrize(("count", "lost"), [(1410, 0.05), (240, 0.05), (410, 0.10), (3, 0.3)])
def test_one_lot_in_twenty_runs_short(count: int, lost: float) -> None:
    """scipy.stats.binom: of the beads had, fewer than wanted are good in at most 1 lot of 20."""
    from scipy import stats

    had = Spare(lost).beads_for(count)
    assert stats.binom.cdf(count - 1, had, 1 - lost) <= 0.05
    assert stats.binom.cdf(count - 1, had - 1, 1 - lost) > 0.05


def test_a_share_added_runs_short_as_often_as_not() -> None:
    """scipy.stats.binom: 5 % added to 1,410 where 5 % are lost, and three tenths thrown out."""
    from scipy import stats

    assert stats.binom.cdf(1409, round(1410 * 1.05), 0.95) > 0.5
    assert stats.binom.cdf(1409, round(1410 * 1.35), 0.95 * 0.7) > 0.999
    had = Spare(lost_or_culled(0.05, 0.3)).beads_for(1410)
    assert stats.binom.cdf(1409, had, 0.95 * 0.7) <= 0.05


@settings(max_examples=100)
@given(st.integers(0, 600), st.integers(1, 60), st.sampled_from([0.0, 0.05, 0.3]))
def test_whole_pieces_are_those_that_the_beads_are_enough_for(
    beads: int, each: int, lost: float
) -> None:
    """Counted up one piece after the other by scipy's quantile."""
    from scipy import stats

    enough = next(
        pieces - 1
        for pieces in itertools.count(1)
        if pieces * each + stats.nbinom.ppf(0.95, pieces * each, 1 - lost) > beads
    )
    assert Spare(lost).pieces_from(beads, each) == enough
