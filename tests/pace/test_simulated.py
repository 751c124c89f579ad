"""A small run of the simulation that tests/speed documents; its bars at the size that fits here."""

from __future__ import annotations

import pytest

from tests.speed.pace_simulate import Result, simulate

MAKERS = 60


@pytest.fixture(scope="module")
def assumed() -> Result:
    """Sixty makers of the kind that the model assumes."""
    return simulate("assumed", MAKERS, seed=11, points=6, bayes=False)


@pytest.mark.parametrize("group", ["all", "1-3", "run"])
def test_coverage(assumed: Result, group: str) -> None:
    """The 80 % interval holds 80 % within three standard errors: pieces, new patterns, runs."""
    share, error, _ = assumed.coverage[group].coverage()
    assert abs(share - 0.8) <= 3 * error
    assert error < 0.06


@pytest.mark.parametrize("group", ["own rule 2-2", "own rule 3-5", "own rule 6-11"])
def test_better_than_the_makers_own_rule(assumed: Result, group: str) -> None:
    """From two pieces on it loses less than mean ± 1.28 standard deviations of past pieces."""
    assert assumed.ratio(group) < 1
