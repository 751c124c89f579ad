"""Proof by weight: expected masses, what a scale can tell, and weighed beads."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft import beads, weight_proof
from bench.craft.weight_proof import BeadMass, ExpectedWeight, OneBead


def known(size: str) -> BeadMass:
    """Take a size of which a hundred beads were weighed on a fine scale."""
    table = weight_proof.from_table(beads.find(size))
    return weight_proof.weighed(table, 100, 100 * table.mean_g, 0.001)


def test_a_table_mass_leaves_too_much_doubt() -> None:
    """Out of the table, not even a short rope's half in 8/0 can be proved to one bead."""
    mass = weight_proof.from_table(beads.find("8/0"))
    result = weight_proof.prove(weight_proof.expected([(60, mass)]), [mass], 0.01)
    assert not result.tells


def test_a_coarse_scale_cannot_tell_the_smallest_bead() -> None:
    """One 15/0 is four milligrams: a 0.01 g scale is no proof, however well the mass is known."""
    mass = known("15/0")
    result = weight_proof.prove(weight_proof.expected([(8, mass)]), [mass], 0.01)
    assert not result.tells


def test_a_fine_scale_tells_one_larger_bead() -> None:
    """Sixteen weighed beads of 6/0 on a 0.01 g scale: one missing is noticed."""
    mass = known("6/0")
    result = weight_proof.prove(weight_proof.expected([(16, mass)]), [mass], 0.01)
    assert result.tells
    assert result.least_g <= round(result.expected.mean_g, 2) <= result.most_g
    assert result.least_g > round(result.expected.mean_g - 3 * mass.mean_g, 2)


def test_a_chance_below_eight_in_ten_is_no_proof() -> None:
    """A scale that notices one bead more often than not is not yet trusted."""
    mass = BeadMass(0.03, 0.0, 0.003, "given")
    result = weight_proof.prove(ExpectedWeight(3.0, 0.011), [mass], 0.01)
    (one,) = result.notices
    assert 0.5 <= min(one.missing, one.extra) < weight_proof.SURE
    assert not result.tells


masses = st.floats(0.002, 0.2)


@given(masses, st.integers(1, 300), st.sampled_from([0.001, 0.01, 0.1, 1.0]))
def test_false_alarms_stay_below_the_stated_rate(mean: float, count: int, step: float) -> None:
    """Whatever the scale, a right half fails at most as often as stated."""
    mass = BeadMass(mean, 0.01 * mean, 0.06 * mean, "given")
    result = weight_proof.prove(weight_proof.expected([(count, mass)]), [mass], step, 0.05)
    assert 0 <= result.false_alarm <= 0.05 + 1e-12
    (one,) = result.notices
    assert 0 <= one.missing <= 1
    assert 0 <= one.extra <= 1


@given(masses, st.integers(1, 200), st.floats(0.8, 1.25))
def test_weighing_moves_the_mass_towards_what_was_weighed(
    mean: float, count: int, factor: float
) -> None:
    """The new mean lies between the old one and the weighed one, and is never less certain."""
    before = BeadMass(mean, 0.1 * mean, 0.06 * mean, "given")
    after = weight_proof.weighed(before, count, count * factor * mean, 0.01)
    low, high = sorted([mean, factor * mean])
    assert low - 1e-12 <= after.mean_g <= high + 1e-12
    assert after.doubt_g < before.doubt_g
    assert f"{count} beads weighed" in after.rests_on


def test_expected_mass_adds_scatter_by_count_and_doubt_by_kind() -> None:
    """Scatter of single beads averages out; doubt of the mean does not."""
    mass = BeadMass(0.03, 0.001, 0.002, "given")
    half = weight_proof.expected([(100, mass)], other_g=0.5, other_sd_g=0.01)
    assert half.mean_g == pytest.approx(3.5)
    assert half.sd_g == pytest.approx(math.sqrt(100 * 0.002**2 + (100 * 0.001) ** 2 + 0.01**2))


def test_letters_of_one_row_of_the_table_share_its_doubt() -> None:
    """Two colours of 8/0 are both heavier than printed or neither; 6/0 has a doubt of its own."""
    eight, six = (weight_proof.from_table(beads.find(size)) for size in ("8/0", "6/0"))
    split = weight_proof.expected([(30, eight), (30, eight)])
    assert split.sd_g == pytest.approx(weight_proof.expected([(60, eight)]).sd_g)
    apart = weight_proof.expected([(30, eight), (30, six)])
    parts = (weight_proof.expected([(30, one)]).sd_g for one in (eight, six))
    assert apart.sd_g == pytest.approx(math.hypot(*parts))


def test_nonsense_is_refused() -> None:
    """Beads without mass, scales without resolution, and impossible rates are said."""
    mass = BeadMass(0.03, 0.001, 0.002, "given")
    with pytest.raises(ValueError, match="more than nothing"):
        BeadMass(0, 0, 0, "given")
    with pytest.raises(ValueError, match="spread"):
        BeadMass(1, -1, 0, "given")
    with pytest.raises(ValueError, match="resolution"):
        weight_proof.prove(ExpectedWeight(1, 0.1), [mass], 0)
    with pytest.raises(ValueError, match="false alarms"):
        weight_proof.prove(ExpectedWeight(1, 0.1), [mass], 0.01, 1.0)
    with pytest.raises(ValueError, match="at least one"):
        weight_proof.weighed(mass, 0, 1, 0.01)
    with pytest.raises(ValueError, match="weighed beads"):
        weight_proof.weighed(mass, 20, -1, 0.01)
    with pytest.raises(ValueError, match="below zero"):
        weight_proof.expected([(-1, mass)])


def test_a_half_without_scatter_is_read_exactly() -> None:
    """Beads that are all alike: the reading is certain, and so is the slip."""
    mass = BeadMass(0.03, 0.0, 0.0, "given")
    result = weight_proof.prove(weight_proof.expected([(10, mass)]), [mass], 0.01)
    assert (result.false_alarm, result.notices) == (0, (OneBead(1, 1),))


def test_a_window_that_leans_to_one_side_is_a_proof() -> None:
    """Thirteen 8/0 at 0.01 g, a hundred weighed: one short and one extra are mostly noticed.

    With the scale zeroed on the bare thread, the best readings are 0.36 to 0.39 g; a window of
    equal steps to both sides of 0.37 g notices one short less than half the time.
    """
    table = weight_proof.from_table(beads.find("8/0"))
    mass = weight_proof.weighed(table, 100, 100 * table.mean_g, 0.01)
    half = weight_proof.expected([(13, mass)], other_sd_g=0.01 / math.sqrt(12))
    result = weight_proof.prove(half, [mass], 0.01)
    assert (result.least_g, result.most_g) == pytest.approx((0.36, 0.39))
    assert result.false_alarm == pytest.approx(0.006, abs=0.001)
    (one,) = result.notices
    assert one.missing == pytest.approx(0.90, abs=0.01)
    assert one.extra == pytest.approx(0.88, abs=0.01)
    assert result.tells


@given(masses, st.integers(1, 30), st.sampled_from([0.01, 0.1, 1.0]))
def test_no_reading_below_nothing_passes(mean: float, count: int, step: float) -> None:
    """However coarse the scale, the least reading that passes is no weight at all."""
    mass = BeadMass(mean, 0.1 * mean, 0.06 * mean, "given")
    assert weight_proof.prove(weight_proof.expected([(count, mass)]), [mass], step).least_g >= 0
