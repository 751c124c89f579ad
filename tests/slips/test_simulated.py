"""A small run of the simulation that tests/speed documents; its bars at the size that fits here."""

from __future__ import annotations

import pytest

from bench.slips.offered_looks import Frequency
from tests.speed.slips_checked import CURVE, checked
from tests.speed.slips_simulate import (
    BitsFirst,
    Tally,
    flawless,
    single_slips,
    small_cases,
)
from tests.support.slips_makers import DROPS

SLIPS = 90


@pytest.fixture(scope="module")
def true_answers() -> Tally:
    """Six slips of every kind, answers true."""
    return single_slips(SLIPS, seed=5)


def test_true_answers_find_the_slip(true_answers: Tally) -> None:
    """The true suspect, or one that no look tells from it, is on top in 98 % and more."""
    assert true_answers.share() >= 0.98


def test_one_wrong_answer_in_fifty_is_borne() -> None:
    """With one answer in fifty wrong it is on top in 95 % and more."""
    assert single_slips(SLIPS, seed=6, false=0.02).share() >= 0.95


def test_looks_cost_little_more_than_the_best(true_answers: Tally) -> None:
    """Seconds are at most 1.3 times those of most bits first, and of the best order of looks."""
    rival = single_slips(SLIPS, seed=5, policy=BitsFirst)
    assert true_answers.seconds() <= 1.3 * rival.seconds()
    best, ours, _, cases = small_cases(45, seed=2)
    assert cases >= 5
    assert ours <= 1.3 * best


def test_false_reports_end_as_misreadings() -> None:
    """On flawless pieces the top suspect is a misreading in 90 % and more."""
    share, seconds = flawless(40, seed=4)
    assert share >= 0.9
    assert seconds < 10


def test_offered_looks_find_beads_of_drops_early() -> None:
    """Glances and counts find a fifth of missing and extra beads before they would show."""
    found, _ = checked(DROPS, CURVE[4], 150, seed=8)
    never, asked = checked(DROPS, Frequency("never", 1, 0), 50, seed=8)
    assert found >= 0.2
    assert (never, asked) == (0.0, 0.0)
