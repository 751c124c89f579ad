"""Weighing a plan up: what hangs, the schedule over the rows, and its marks at the bench."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft import counterweight as cw
from bench.craft.beads import BeadSize, mass_g
from bench.craft.mark import Mark
from bench.craft.marks import HANG_ANEW, LET_OUT
from bench.craft.weight_plan import (
    HANG_AGAIN,
    StandWeights,
    WeightPlan,
    core_mass_g,
    joined,
    loads_g,
    row_ends,
    weigh,
    weight_marks,
)
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern

SET = (5.0, 10.0, 10.0, 20.0, 50.0, 50.0, 100.0, 200.0, 200.0)


def worked_up(name: str) -> WorkedPattern:
    """A shipped pattern, worked up with the usual settings."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), name)


@pytest.fixture(scope="module")
def rope() -> WorkedPattern:
    """The long rope of two-bead stripes."""
    return worked_up("stair-rope")


@pytest.fixture(scope="module")
def drop() -> WorkedPattern:
    """A short drop with a core."""
    return worked_up("silver-eaves")


def masses_g(sizes: Mapping[str, BeadSize]) -> dict[str, float]:
    """The table's mass of each bead, in grams, by letter."""
    return {letter: mass_g(bead) for letter, bead in sizes.items()}


def weighed(made: WorkedPattern, tama_g: float = 100.0, halts: tuple[int, ...] = ()) -> WeightPlan:
    """Weigh up with equal tama."""
    hanging = StandWeights((tama_g,) * made.plan.strands, SET)
    return weigh(made.plan, masses_g(made.sizes), hanging, halts)


def test_a_rope_asks_for_less_as_its_beads_go_in(rope: WorkedPattern) -> None:
    """By hand: B grams of beads on 800 g of tama ask for 0.47·(800 + B), then 0.47·800 − B."""
    beads_g = 64 * 10 / 1050 + 8 * 246 * 10 / 347
    found = weighed(rope)
    assert found.start_g == pytest.approx(0.47 * (800 + beads_g))
    assert found.end_g == pytest.approx(0.47 * 800 - beads_g)
    assert sum(found.hang_g) == pytest.approx(800 + beads_g)
    assert 1 <= len(found.steps) - 1 <= 2


def test_the_share_is_kept_at_the_end_of_every_row(rope: WorkedPattern) -> None:
    """With the weights as scheduled, moved to halts or not, the share stays in the band."""
    halts = tuple(m.after_cross for m in rope.marks if m.id.startswith("halt-"))
    for found in (weighed(rope), weighed(rope, halts=halts)):
        assert not found.warnings
        for masses in found.series:
            share = cw.share(found.hung_after(masses.cross), masses)
            assert abs(share - 0.47) <= 0.05 + 1e-9


def test_a_start_inside_the_band_saves_a_stop(rope: WorkedPattern) -> None:
    """With 70 g tama the rope starts 5 g light and is stopped once for the weight, not twice."""
    assert rope.weighing is not None
    assert [len(rope.weighing.steps), rope.weighing.steps[0].counterweight_g] == [2, 285]
    assert rope.weighing.start_g == pytest.approx(290, abs=1)
    assert rope.weighing.says.startswith("weight is changed once")


def test_a_change_is_made_at_the_halt_before_it(rope: WorkedPattern) -> None:
    """Where the maker stops anyway, the weight is changed too, and no extra halt is made."""
    halts = tuple(m.after_cross for m in rope.marks if m.id.startswith("halt-"))
    changes = [step.cross for step in weighed(rope, halts=halts).steps[1:]]
    assert changes
    assert set(changes) <= set(halts)
    assert all(rope.plan.row_end(cross) == cross for cross in changes)


def test_a_drop_needs_no_change(drop: WorkedPattern) -> None:
    """A small piece has no mark for the weight, and is told so."""
    found = weighed(drop, 70)
    assert weight_marks(found) == ()
    assert found.says.startswith("no change is needed")


def test_the_core_hangs_in_the_braid(drop: WorkedPattern) -> None:
    """After the last row, beads and core hang; before the core is down only the beads do."""
    masses = masses_g(drop.sizes)
    series = weighed(drop).series
    beads_g = sum(loads_g(drop.plan, masses))
    assert series[0].hangs_g == 0
    assert series[-1].hangs_g == pytest.approx(beads_g + core_mass_g(drop.plan, masses))
    early = next(m for m in series if m.cross == 12)
    assert early.hangs_g == pytest.approx(8 * 2 * masses["a"])


def test_uneven_tama_hang_by_strand(drop: WorkedPattern) -> None:
    """Each strand's pull is its own tama with its own beads; their number must be right."""
    tama = tuple(60.0 + strand for strand in range(8))
    masses = masses_g(drop.sizes)
    found = weigh(drop.plan, masses, StandWeights(tama, SET))
    assert found.hang_g == pytest.approx(
        [t + b for t, b in zip(tama, loads_g(drop.plan, masses), strict=True)]
    )
    with pytest.raises(ValueError, match="7 tama are given for 8 strands"):
        weigh(drop.plan, masses, StandWeights(tama[:7], SET))


def test_rows_are_weighed_at_their_ends(drop: WorkedPattern) -> None:
    """The start and each row's last cross, and nothing for a braid without beads."""
    ends = row_ends(drop.plan)
    assert ends[0] == 0
    assert ends[1:] == list(range(8, 69, 4))
    assert row_ends(worked_up("landing-cord").plan) == [0]


def test_weights_too_light_are_said(drop: WorkedPattern) -> None:
    """A set that cannot make the counterweight is told with both figures."""
    (warning,) = weigh(
        drop.plan, masses_g(drop.sizes), StandWeights((70.0,) * 8, (50.0, 20.0))
    ).warnings
    assert "265 g" in warning
    assert "70 g" in warning


def test_an_unusual_fraction_is_warned_about(drop: WorkedPattern) -> None:
    """0.6 is allowed and warned about, 0.8 refused."""
    masses = masses_g(drop.sizes)
    heavy = weigh(drop.plan, masses, StandWeights((70.0,) * 8, SET, 0.6))
    assert "heavy" in heavy.warnings[0]
    with pytest.raises(ValueError, match=r"0\.2 to 0\.7"):
        weigh(drop.plan, masses, StandWeights((70.0,) * 8, SET, 0.8))


@settings(max_examples=25)
@given(tama=st.integers(30, 240), band=st.sampled_from([0.005, 0.01, 0.02, 0.05]))
def test_marks_lead_from_one_weight_to_the_next(
    rope: WorkedPattern, tama: int, band: float
) -> None:
    """Following the marks' words moves exactly the weights that the schedule moves."""
    weights = (*SET, 200.0, 200.0)
    hanging = StandWeights((float(tama),) * 8, weights, band=band)
    found = weigh(rope.plan, masses_g(rope.sizes), hanging)
    marks = weight_marks(found)
    assert len(marks) == len(found.steps) - 1
    for (before, after), mark in zip(pairwise(found.steps), marks, strict=True):
        moved = after.counterweight_g - before.counterweight_g
        assert sum(after.add_g) - sum(after.take_off_g) == pytest.approx(moved)
        assert mark.after_cross == after.cross
        assert f"{after.counterweight_g:g} g in all" in mark.steps[-2]
        assert mark.steps[0].startswith("Stick through")
        assert "feet" in mark.caution


def test_a_halt_and_a_change_become_one_mark() -> None:
    """Stick, weight off, thread, bag, weight on, stick out: once, in that order."""
    halt = Mark(
        40, "rehang-1", "rehang", "Let out, hang anew", ("Stick…", LET_OUT, HANG_ANEW, "Out.")
    )
    change = Mark(
        40,
        "weight-1",
        "weight",
        "Weight off",
        ("Stick in.", "Take out 20 g.", f"{HANG_AGAIN}: 230 g in all.", "Out."),
    )
    other = Mark(
        44, "weight-2", "weight", "Weight off", ("Stick in.", "Take out 5 g.", "Hang.", "Out.")
    )
    one, two = joined([halt], [change, other])
    assert one.do == halt.do
    assert one.steps[0] == "Stick in."
    assert one.steps[1] == LET_OUT
    assert one.steps[2] == "Take out 20 g."
    assert one.steps[3] == f"{HANG_ANEW[:-1]}: 230 g in all."
    assert one.steps[4:] == ("Out.",)
    assert two is other
