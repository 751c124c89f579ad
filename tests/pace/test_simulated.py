"""A small run of the simulation that tests/speed documents; its bars at the size that fits here."""

from __future__ import annotations

import pytest

from tests.speed.pace_simulate import Result, simulate

MAKERS, POINTS, SEED = 160, 3, 1
"""Each maker is drawn from the seed and its number, so that every run gives the same figures."""
BAR = 2.0
"""Standard errors; the simulation at full size has three, and errors a third as large."""


@pytest.fixture(scope="module")
def assumed() -> Result:
    """Makers of the kind that the model assumes."""
    return simulate("assumed", MAKERS, seed=SEED, points=POINTS, bayes=False)


def holds(assumed: Result, group: str, width: float = 1.0) -> bool:
    """Whether intervals of so many times the width hold 80 % by the bar."""
    share, error, _ = assumed.coverage[group].coverage(width)
    return abs(share - 0.8) <= BAR * error


@pytest.mark.parametrize("group", ["all", "1-3", "sixty pieces"])
def test_coverage(assumed: Result, group: str) -> None:
    """The 80 % interval holds 80 % by the bar: pieces, new patterns, runs."""
    assert holds(assumed, group)


@pytest.mark.parametrize(
    ("group", "width"),
    [
        ("all", 0.8),
        ("all", 1.3),
        ("1-3", 0.6),
        ("1-3", 1.3),
        ("sixty pieces", 0.8),
        ("sixty pieces", 1.3),
    ],
)
def test_the_bar_sees_a_wrong_width(assumed: Result, group: str, width: float) -> None:
    """Intervals a fifth too narrow, or three tenths too wide, would fail it.

    New patterns alone are too few here for a fifth; two fifths are seen.
    """
    assert not holds(assumed, group, width)


@pytest.mark.parametrize("group", ["own rule 2-2", "own rule 3-5", "own rule 6-11"])
def test_better_than_the_makers_own_rule(assumed: Result, group: str) -> None:
    """From two pieces on it loses less than mean ± 1.28 standard deviations of past pieces."""
    assert assumed.ratio(group) < 1
