"""How long and thick a braid is predicted to be: a range, a bound, and what they rest on."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from bench.craft import packing
from bench.craft.beads import find
from bench.craft.growth import Growth, grow, sizes_of, thread_mm
from bench.craft.length import length_by_rule_mm, per_inch_mm
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.thickness import at_most_mm
from bench.craft.words import length_said, thickness_said
from bench.documents.library import Library

LIBRARY = Library(Path("nowhere"))


def shipped(name: str) -> Plan:
    """The plan of a shipped pattern."""
    return LIBRARY.plan(LIBRARY.pattern_path(name)).resolved()


def predicted(plan: Plan, **changes: object) -> Growth:
    """How a plan grows, its pattern changed."""
    pattern = Pattern.model_validate(plan.pattern.model_dump() | changes)
    changed = Plan(pattern, plan.structure)
    return grow(changed, sizes_of(pattern))


def test_a_length_is_a_range_that_holds_every_rule() -> None:
    """Stair Rope: 1,018 mm by touching columns, 1,116 by the 1 : 2 rule, 1,170 by the inch."""
    growth = predicted(shipped("stair-rope"))
    assert [growth.low_mm, growth.high_mm] == pytest.approx([1018, 1170], abs=1)
    assert growth.length_mm == growth.after_mm[-1] == pytest.approx(math.sqrt(1018 * 1170), abs=1)
    assert growth.size_says == "1.02 to 1.17 m long, about 8.7 mm thick"
    assert growth.length_rests_on == ("columns 1018 mm, 1:2 rule 1116 mm, beads per inch 1170 mm")
    assert all(figure.source for figure in growth.length_range.figures)


def test_a_makers_own_bead_length_is_not_counted_by_the_inch() -> None:
    """A bead that was measured has one length; a table's has what is counted too."""
    eight = find("8/0")
    assert per_inch_mm(eight) == pytest.approx((25.4 / 11, 25.4 / 11))
    own = type(eight)("8/0", "round", 3.0, 2.0, 1.0, 347, "the pattern", True)
    assert per_inch_mm(own) == (2.0, 2.0)
    assert length_by_rule_mm(100) == 200


@pytest.mark.parametrize("structure", ["square-8", "hollow-8", "kongo-12", "kongo-16", "round-4"])
def test_unknown_columns_give_a_bound_and_a_wider_range(structure: str) -> None:
    """No thicker than a whole row side by side; the length by rules and 15 % to both sides."""
    rope = shipped("stair-rope")
    pattern = Pattern.model_validate(
        rope.pattern.model_dump() | {"structure": structure, "loads": {"all": "20h"}}
    )
    growth = grow(Plan(pattern, LIBRARY.structure(structure)), sizes_of(pattern))
    strands = LIBRARY.structure(structure).strands
    assert growth.diameter_at_most
    assert growth.diameter_mm == at_most_mm(3.0, strands)
    assert "at most" in growth.size_says
    rule = growth.length_range.figures[0].mm
    assert growth.low_mm == pytest.approx(0.85 * rule)
    assert growth.high_mm == pytest.approx(1.15 * rule)


def test_a_row_side_by_side_takes_three_strands() -> None:
    """Two strands make no round braid."""
    with pytest.raises(ValueError, match="three strands"):
        at_most_mm(3.0, 2)


@pytest.mark.parametrize("structure", ["round-4", "kongo-8", "kongo-12", "kongo-16"])
def test_a_cord_without_beads_holds_its_own_thread(structure: str) -> None:
    """What is worked in fills as much of the section as threads packed closely, and no more."""
    cord = shipped("landing-cord")
    found = LIBRARY.structure(structure)
    plan = Plan(Pattern.model_validate(cord.pattern.model_dump() | {"structure": structure}), found)
    growth = grow(plan, {}, take_up=1.7)
    thread_mm2 = math.pi / 4 * thread_mm(plan.pattern.threads) ** 2 * found.strands * 1.7
    filled = thread_mm2 / (math.pi / 4 * growth.diameter_mm**2)
    assert filled == pytest.approx(found.strands / packing.ratio(found.strands) ** 2)
    assert filled < 0.76
    assert not growth.diameter_at_most


def test_a_plain_cord_is_a_range_too() -> None:
    """Four plain crosses make 1 to 1.5 mm: a fifth to both sides; the maker's own pitch is one."""
    cord = shipped("landing-cord")
    growth = grow(cord, {})
    assert [growth.low_mm, growth.high_mm] == pytest.approx([0.8 * 384, 1.2 * 384])
    own = grow(cord, {}, plain_mm=0.6)
    assert own.low_mm == own.high_mm == pytest.approx(384)


def test_ranges_are_said_as_one_says_them() -> None:
    """Millimetres for drops, metres for ropes, one figure where both ends read alike."""
    assert length_said(59.6, 63.4) == "60 to 63 mm"
    assert length_said(1018, 1160) == "1.02 to 1.16 m"
    assert length_said(59.8, 60.2) == "60 mm"
    assert thickness_said(10.84, at_most=True) == "at most 10.8 mm"
    assert thickness_said(8.66, at_most=False) == "about 8.7 mm"
