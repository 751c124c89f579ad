"""The core: what fits, what is said when it does not, and when the clips come off."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft import beads, core, lattice
from bench.craft.core import CoreGroup

SIZES = {"a": "15/0", "b": "11/0", "c": "8/0", "d": "6/0"}
OWN = {letter: beads.find(size) for letter, size in SIZES.items()}
LADDER = list(OWN.values())
DROP = "aaabbbcccdddccba"


def braid(rows: Sequence[str]) -> lattice.Lattice:
    """Eight-strand kongo with rows of equal beads after four plain crosses."""
    carried = []
    k = 4
    for row in rows:
        for _ in range(4):
            for q in (0, 2) if k % 2 == 0 else (1, 3):
                carried.append(lattice.Carried(k + 1, q, 90.0 * q, OWN[row].diameter_mm, row))
            k += 1
    return lattice.place(carried, columns=6, turn_deg=30, crosses=k + 4, plain_mm=0.31, zero_deg=0)


def groups(text: str) -> list[CoreGroup]:
    """Read groups such as "8a 7c"."""
    return [CoreGroup(OWN[word[-1]], int(word[:-1])) for word in text.split()]


def kinds(plan: core.CoreFit) -> set[str]:
    """Name what was found."""
    return {finding.kind for finding in plan.findings}


def test_the_core_is_one_size_under_the_ring() -> None:
    """15/0 in 11/0, 11/0 in 8/0, 8/0 in 6/0, nothing in 15/0, at 0.13 mm thread."""
    factor = lattice.radius_factor(6)
    fits = [core.largest_core(ring, LADDER, 0.13, factor) for ring in LADDER]
    assert [bead.name if bead else None for bead in fits] == [None, "15/0", "11/0", "8/0"]


def test_a_drop_gets_a_graded_core() -> None:
    """A teardrop's core grows and shrinks with its rings, and nothing is wrong with it."""
    plan = core.suggest(braid(DROP), LADDER, 0.13)
    assert plan is not None
    assert plan.findings == ()
    assert [group.bead.name for group in plan.groups] == ["15/0", "11/0", "8/0", "11/0", "15/0"]
    assert plan.room_mm - plan.length_mm >= core.END_GAP_MM - 1e-6


def test_the_core_comes_down_when_the_first_ring_is_wide_enough() -> None:
    """Three rows of 15/0 after four plain crosses: core down after cross 16."""
    plan = core.check(braid(DROP), groups("8a 8b 7c 5b 1a"), LADDER, 0.13)
    assert plan.down_after_cross == 16


def test_the_upper_clip_comes_off_when_the_core_is_swallowed() -> None:
    """The clip's cross is the first whose beads lie above the core, a few rows before the end."""
    shape = braid(DROP)
    plan = core.check(shape, groups("8a 8b 7c 5b 1a"), LADDER, 0.13)
    heights = {spot.cross: spot.height_mm for spot in shape.spots}
    assert heights[plan.clip_off_after_cross] >= plan.to_mm > heights[plan.clip_off_after_cross - 1]
    assert 68 - 12 < plan.clip_off_after_cross < 68


def test_misfits_are_said_with_numbers() -> None:
    """Too large, too small, too long and too short are told apart and give millimetres."""
    shape = braid(DROP)
    good = "8a 8b 7c 5b 1a"
    assert kinds(core.check(shape, groups(good), LADDER, 0.13)) == set()
    assert kinds(core.check(shape, groups("8b 8b 7c 5b 1a"), LADDER, 0.13)) >= {"large"}
    assert kinds(core.check(shape, groups("16a 7c 5b 8a"), LADDER, 0.13)) >= {"small"}
    assert kinds(core.check(shape, groups("8a 8b 7c 5b 3a"), LADDER, 0.13)) == {"long"}
    assert kinds(core.check(shape, groups("8a 8b 5c"), LADDER, 0.13)) == {"short"}
    (first, *_) = core.check(shape, groups("8b 8b 7c 5b 1a"), LADDER, 0.13).findings
    assert "core bead 1, 11/0, is too large: it is 2.1 mm thick" in first.says
    assert "take 15/0" in first.says


def test_what_is_too_small_is_told_for_each_size_that_fits() -> None:
    """15/0 all along in six rows of 8/0 and six of 6/0: 11/0 fits below, 8/0 above.

    The lengths that are told differ from size to size, and no bead is counted twice.
    """
    fit = core.check(braid("ccccccdddddd"), groups("40a"), LADDER, 0.13)
    small = [finding.says for finding in fit.findings if finding.kind == "small"]
    told = [(says.rsplit(": ", 1)[1], float(says.split()[0])) for says in small]
    assert [fits for fits, _ in told] == ["11/0 fits there", "8/0 fits there"]
    assert all(long_mm > core.CHANGE_MM for _, long_mm in told)
    assert sum(long_mm for _, long_mm in told) <= fit.length_mm


def test_beyond_the_braid_no_larger_bead_is_said_to_fit() -> None:
    """Thirty 8/0 in six rows of 6/0 are too many, not too small: 8/0 is the most that fits."""
    fit = core.check(braid("dddddd"), groups("30c"), LADDER, 0.13)
    assert kinds(fit) == {"long"}


def test_where_balls_and_cylinders_differ_the_bead_is_named() -> None:
    """Silver Eaves: the last 8/0 fits below the 11/0 rings by its round edge only."""
    shape = braid(DROP)
    fit = core.check(shape, groups("8a 8b 7c 5b 1a"), LADDER, 0.13)
    assert core.edges_decide(shape, fit, 0.13) == (23,)


@pytest.mark.parametrize("rows", ["bbbbbb", "cccccc", "dddddd"])
def test_in_equal_rings_edges_decide_nothing(rows: str) -> None:
    """Where the hollow is the same all along, a bead fits as a ball and as a cylinder."""
    shape = braid(rows)
    fit = core.suggest(shape, LADDER, 0.13)
    assert fit is not None
    assert core.edges_decide(shape, fit, 0.13) == ()


def test_nothing_goes_into_the_smallest_rings() -> None:
    """A braid all of 15/0 gets no suggestion, and a core put there is refused with numbers."""
    assert core.suggest(braid("aaaa"), LADDER, 0.13) is None
    plan = core.check(braid("aaaa"), groups("2a"), LADDER, 0.13)
    assert "narrow" in kinds(plan)


def test_a_waist_of_small_rings_ends_the_core_below_it() -> None:
    """Beads cannot get past rings that close, so a core ends under a 15/0 waist."""
    plan = core.suggest(braid("bbccbaaabccb"), LADDER, 0.13)
    whole = core.suggest(braid("bbccb"), LADDER, 0.13)
    assert plan is not None
    assert whole is not None
    assert plan.length_mm <= whole.length_mm + LADDER[1].length_mm


@settings(max_examples=60)
@given(st.lists(st.sampled_from("abcd"), min_size=1, max_size=14))
def test_a_suggested_core_never_is_too_large_or_too_long(rows: list[str]) -> None:
    """Whatever the rows, what is suggested passes its own check for size and length."""
    plan = core.suggest(braid(rows), LADDER, 0.13)
    if plan is not None:
        assert not kinds(plan) & {"large", "long", "narrow"}


def test_wire_and_cord_are_longer_than_the_braid() -> None:
    """The wire holds braid, parked core and two grips; a cord is 15 cm longer than the braid."""
    assert core.wire_mm(59, 45) == 59 + 45 + 150
    assert core.cord_mm(200) == 350


def test_a_core_without_beads_is_refused() -> None:
    """A wire without beads is no core."""
    with pytest.raises(ValueError, match="at least one bead"):
        core.check(braid(DROP), [], LADDER, 0.13)


def test_thicker_thread_leaves_less_room() -> None:
    """Two thread diameters come off the hollow."""
    bead = dataclasses.replace(OWN["b"])
    factor = lattice.radius_factor(6)
    assert core.free_mm(bead.diameter_mm, 0.13, factor) == pytest.approx(
        0.8856 * 2.1 - 0.26, abs=1e-3
    )
    assert core.largest_core(bead, LADDER, 0.3, factor) is None
