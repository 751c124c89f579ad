"""The bead table: what it holds, what it refuses, which sizes step by one."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import pytest

from bench.craft import beads


def test_a_size_is_found_by_name_and_shape() -> None:
    """The same size in another shape is another bead, with another hole."""
    assert beads.find("15/0").hole_mm == 0.7
    assert beads.find("15/0", "rondelle").hole_mm == 0.4


def test_an_unknown_size_asks_for_its_measures() -> None:
    """A size that the table lacks is refused in one sentence that says what to give."""
    with pytest.raises(ValueError, match="give diameter_mm, length_mm, hole_mm and per_10_g"):
        beads.find("9/0")


def test_no_row_is_there_twice_and_every_row_says_its_source() -> None:
    """Rows are unique by size and shape, name a source, and doubtful ones say what is doubtful."""
    keys = [(bead.name, bead.shape) for bead in beads.TABLE]
    assert len(keys) == len(set(keys))
    assert all(bead.source for bead in beads.TABLE)
    assert all(bead.confirmed or bead.note for bead in beads.TABLE)


@pytest.mark.parametrize("key", ["diameter_mm", "length_mm", "hole_mm", "per_10_g"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_measure_that_is_not_above_zero_is_refused(key: str, value: float) -> None:
    """A bead of the maker's own with a nonsense measure is refused by the measure's name."""
    own: dict[str, Any] = {key: value}
    with pytest.raises(ValueError, match=key):
        dataclasses.replace(beads.find("8/0"), **own)


def test_a_hole_as_wide_as_the_bead_is_refused() -> None:
    """A hole must leave glass round it."""
    with pytest.raises(ValueError, match="smaller than the bead"):
        dataclasses.replace(beads.find("8/0"), hole_mm=3.0)


def test_ladders_step_by_one_all_the_way() -> None:
    """The usual ladder and the small one never skip a size."""
    for ladder in (["15/0", "11/0", "8/0", "6/0"], ["15/0", "13/0", "11/0", "8/0"]):
        for low, high in itertools.pairwise(ladder):
            assert beads.steps_by_one(beads.find(low), beads.find(high)), (low, high)


@pytest.mark.parametrize(
    ("low", "high"), [("15/0", "10/0"), ("15/0", "8/0"), ("13/0", "8/0"), ("11/0", "6/0")]
)
def test_a_skipped_size_is_seen(low: str, high: str) -> None:
    """Sizes that lie two steps apart do not pass as neighbours, from either side."""
    assert beads.steps_between(beads.find(low), beads.find(high)) == 2
    assert not beads.steps_by_one(beads.find(high), beads.find(low))


def test_a_drop_may_stand_beside_the_next_size_but_one() -> None:
    """A 3.4 mm drop may follow 11/0, as an accent, but not 15/0."""
    drop = beads.find("3.4 mm", "drop")
    assert beads.steps_by_one(drop, beads.find("11/0"))
    assert not beads.steps_by_one(drop, beads.find("15/0"))


def test_mass_comes_from_the_count_before_the_measures() -> None:
    """A count per 10 g decides the mass; without one the measures do."""
    counted = beads.find("8/0")
    assert beads.mass_g(counted) == pytest.approx(10 / 347)
    uncounted = dataclasses.replace(counted, per_10_g=None)
    assert beads.mass_g(uncounted) == beads.mass_by_measures_g(uncounted)
