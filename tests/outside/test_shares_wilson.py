"""Shares of what went wrong, against statsmodels' score interval."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.commission.inspection import wilson


@given(st.integers(1, 400).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_the_score_interval(counted: tuple[int, int]) -> None:
    """Between its ends lies what statsmodels says for 8 in 10 (method "wilson")."""
    from statsmodels.stats.proportion import proportion_confint

    count, of = counted
    assert wilson(count, of) == pytest.approx(
        proportion_confint(count, of, alpha=0.2, method="wilson"), abs=1e-9
    )
