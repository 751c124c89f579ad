"""Sets loaded one after the other: the difference of means and its error, against scipy's."""

from __future__ import annotations

import random

import pytest

from bench.commission.batches import batch_gain, batches_said
from bench.commission.inspection import Z_80


@pytest.mark.parametrize("seed", range(5))
def test_the_error_of_a_difference_is_welchs(seed: int) -> None:
    """Source: scipy.stats.ttest_ind with unequal variances; its t is the gain over the error."""
    from scipy import stats

    rng = random.Random(seed)
    first = [rng.gauss(4.0, 0.6) for _ in range(rng.randint(3, 20))]
    later = [rng.gauss(3.4, 0.4) for _ in range(rng.randint(3, 20))]
    found = batch_gain(first, later)
    assert found is not None
    t = stats.ttest_ind(first, later, equal_var=False).statistic
    assert found.seconds / (found.give_or_take / Z_80) == pytest.approx(t)
    assert found.pays == (t > Z_80)


def test_nothing_is_said_before_it_is_known() -> None:
    """Two later sets are too few; what does not pay is not proposed; what does, in minutes."""
    assert batch_gain([4.0] * 9, [3.0] * 2) is None
    (said,) = batches_said({"Plum": 3, "Rope": 1}, {"Plum": 128}, None)
    assert said.startswith("3 sets of Plum to load: whether it saves")
    level = batch_gain([4.0, 3.9, 4.1], [4.0, 4.1, 3.9])
    assert [*batches_said({"Plum": 3}, {"Plum": 128}, level)] == []
    clear = batch_gain([4.0, 3.9, 4.1], [3.0, 3.1, 2.9])
    (said,) = batches_said({"Plum": 3}, {"Plum": 120}, clear)
    assert "load the 3 sets of Plum one after the other" in said
    assert "about 4 min less" in said
