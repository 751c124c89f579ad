"""Marks: where a growing braid halts, and for what."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.beads import BeadSize
from bench.craft.growth import Growth, grow, sizes_of
from bench.craft.mark import Mark
from bench.craft.marks import Housekeeping, work_out
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.documents.library import Library

LIBRARY = Library(Path("nowhere"))


@cache
def grown(name: str) -> tuple[Plan, dict[str, BeadSize], Growth]:
    """A shipped pattern's plan, bead sizes and growth."""
    plan = LIBRARY.plan(LIBRARY.pattern_path(name)).resolved()
    sizes = sizes_of(plan.pattern)
    return plan, sizes, grow(plan, sizes)


def worked(name: str, keep: Housekeeping) -> tuple[Plan, Growth, tuple[Mark, ...]]:
    """A shipped pattern's plan, growth and marks."""
    plan, sizes, growth = grown(name)
    return plan, growth, work_out(plan, growth, sizes, keep)


def stretches(growth: Growth, marks: tuple[Mark, ...], kinds: set[str], end: int) -> list[float]:
    """What the braid grows between marks of some kinds, from the start to a cross."""
    crosses = [0, *(m.after_cross for m in marks if m.kind in kinds), end]
    return [growth.after_mm[b] - growth.after_mm[a] for a, b in pairwise(crosses)]


@pytest.mark.parametrize("name", ["stair-rope", "landing-cord"])
def test_no_stretch_is_longer_than_it_may_be(name: str) -> None:
    """Up to the next halt, and to the end, a rope never grows beyond what is let out or hung."""
    plan, growth, marks = worked(name, Housekeeping(65.0, 130.0))
    end = plan.last_bead_cross or plan.crosses
    assert max(stretches(growth, marks, {"halt", "rehang"}, end)) <= 65.0
    assert max(stretches(growth, marks, {"rehang"}, end)) <= 130.0


@settings(max_examples=40)
@given(let_out=st.integers(10, 200), rehang=st.integers(10, 400))
def test_halts_keep_to_any_lengths_that_rows_allow(let_out: int, rehang: int) -> None:
    """Whatever is set, each halt is the last row end that keeps it."""
    keep = Housekeeping(float(let_out), float(rehang))
    plan, growth, marks = worked("stair-rope", keep)
    limit = min(let_out, rehang) + 1e-6
    halts = {"halt", "rehang"}
    assert max(stretches(growth, marks, halts, plan.last_bead_cross)) <= limit
    assert max(stretches(growth, marks, {"rehang"}, plan.last_bead_cross)) <= rehang + 1e-6
    crosses = [0, *(m.after_cross for m in marks if m.kind in halts)]
    for before, here in pairwise(crosses):
        assert growth.after_mm[here + plan.row_length] - growth.after_mm[before] > limit


def test_halts_fall_on_the_ends_of_rows() -> None:
    """Between rows all strands have moved alike; in plain crosses a halt ends a round."""
    plan, _, marks = worked("stair-rope", Housekeeping())
    assert all(plan.row_end(mark.after_cross) == mark.after_cross for mark in marks)
    plan, _, marks = worked("landing-cord", Housekeeping())
    assert all(mark.after_cross % len(plan.structure.round) == 0 for mark in marks)


@pytest.mark.parametrize(
    "name", ["silver-eaves", "downpipe", "gutter-pearl", "cistern", "second-drop"]
)
def test_a_drop_has_no_halt(name: str) -> None:
    """A piece that is no longer than one stretch is braided without a halt."""
    _, _, marks = worked(name, Housekeeping())
    assert not any(mark.is_halt for mark in marks)


def test_a_long_plain_end_is_kept_too() -> None:
    """A cord that goes on without beads for a hand's breadth halts there as well."""
    plan = LIBRARY.plan(LIBRARY.pattern_path("stair-rope"))
    data = plan.pattern.model_dump() | {"plain_end": 400}
    long = Plan(Pattern.model_validate(data), plan.structure).resolved()
    sizes = sizes_of(long.pattern)
    growth = grow(long, sizes)
    marks = work_out(long, growth, sizes, Housekeeping())
    assert max(stretches(growth, marks, {"halt", "rehang"}, long.crosses)) <= 70.0
    assert any(mark.after_cross > long.last_bead_cross for mark in marks)


def test_a_pattern_has_halts_of_its_own() -> None:
    """What a pattern says of its halts goes before the settings; what it leaves out is theirs."""
    plan = LIBRARY.plan(LIBRARY.pattern_path("stair-rope"))
    data = plan.pattern.model_dump() | {"halts": {"let_out_mm": 45}}
    rope = Plan(Pattern.model_validate(data), plan.structure).resolved()
    sizes = sizes_of(rope.pattern)
    growth = grow(rope, sizes)
    marks = work_out(rope, growth, sizes, Housekeeping(80.0, 130.0))
    assert marks == work_out(plan, growth, sizes, Housekeeping(45.0, 130.0))
