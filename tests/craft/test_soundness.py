"""Soundness: what is found all round the braid, where it is, and what would cure it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.beads import steps_by_one
from bench.craft.findings import Change, Finding, FoundAt
from bench.craft.growth import grow, sizes_of
from bench.craft.neighbours import beside
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.soundness import findings
from bench.documents.folders import Entry
from bench.documents.library import Library

LIBRARY = Library(Path("nowhere"))
EAVES: dict[str, Any] = LIBRARY.plan(LIBRARY.pattern_path("silver-eaves")).pattern.model_dump() | {
    "sizes": {},
    "colourways": {},
}
SINGLE = EAVES["threads"] | {"double_lengths": []}


def plan_of(structure: str = "kongo-8", **changes: Any) -> Plan:
    """Silver Eaves with something changed: by default without a core."""
    pattern = Pattern.model_validate(EAVES | {"core": None, "structure": structure} | changes)
    return Plan(pattern, LIBRARY.structure(structure))


def found(plan: Plan) -> tuple[Finding, ...]:
    """What is found in a plan."""
    sizes = sizes_of(plan.pattern)
    return findings(plan, grow(plan, sizes), sizes)


def kinds(plan: Plan) -> list[str]:
    """The kinds of what is found."""
    return [finding.kind for finding in found(plan)]


def by_turns(strands: int, count: int) -> dict[str, str]:
    """Loads of 6/0 on every second strand, 15/0 on the others."""
    return {str(s): f"{count}d" if s % 2 else f"{count}a" for s in range(1, strands + 1)}


def test_a_large_bead_beside_a_small_one_is_found_all_round() -> None:
    """Each strand alike along itself, 6/0 on every second one beside 15/0: not sound."""
    (finding,) = (f for f in found(plan_of(loads=by_turns(8, 8))) if f.kind == "neighbours")
    assert "d (6/0) lies beside a (15/0) in row 1" in finding.says
    assert finding.at.row == 1
    assert finding.at.strand in range(1, 9)
    assert finding.at.cross in range(5, 9)


def test_a_step_along_a_strand_has_its_place_and_is_told_once() -> None:
    """One 6/0 on strand 5 in a braid of 15/0: found on its strand, and not again beside it."""
    plan = plan_of(loads={"all": "12a", "5": "6a 1d 5a"})
    told = [f for f in found(plan) if f.kind in ("size-step", "neighbours")]
    assert [f.kind for f in told] == ["size-step"]
    cross = plan.cross_of(5, 6)
    assert told[0].at == FoundAt(5, plan.row_at(cross)[0], cross)


def test_beads_beside_each_other_touch_or_nearly() -> None:
    """Of equal beads each lies beside three earlier ones, one, two and three crosses before."""
    plan = plan_of(loads={"all": "10c"})
    lattice = grow(plan, sizes_of(plan.pattern)).lattice
    assert lattice is not None
    under_way = [(one, other) for one, other in beside(lattice) if one.cross > 12]
    assert {one.cross - other.cross for one, other in under_way} == {1, 2, 3}
    assert len(under_way) == 3 * sum(spot.cross > 12 for spot in lattice.spots)


@pytest.mark.parametrize("structure", ["square-8", "kongo-12"])
def test_without_columns_neighbours_are_those_in_stand_order(structure: str) -> None:
    """Where the columns are not known it is said that stand order was taken."""
    loads = by_turns(LIBRARY.structure(structure).strands, 8)
    plan = plan_of(structure, loads=loads, threads=SINGLE)
    (finding,) = (f for f in found(plan) if f.kind == "neighbours")
    assert "taken in stand order: the columns are not known" in finding.says
    assert finding.at == FoundAt(1, 1, plan.cross_of(1, 0))


def test_a_belly_without_a_core_is_found() -> None:
    """Six rows of 6/0 want a core: the rows are named, the cure is the suggested core."""
    loads = {"all": "2a 2b 2c 6d 2c 1b"}
    (finding,) = (f for f in found(plan_of(loads=loads)) if f.kind == "no-core")
    assert "rows 7 to 12 are of 6/0 or larger and have no core inside" in finding.says
    assert finding.at == FoundAt(None, 7, 29)
    core = {str(change.key[1]): change.value for change in finding.cure}
    assert set(core) == {"on", "beads", "down_after_cross"}
    assert kinds(plan_of(loads=loads, core=core)) == []


def test_one_row_of_large_beads_stands_without_a_core() -> None:
    """A single row of 6/0 is held by the rows beside it; a cord is a core too."""
    assert kinds(plan_of(loads={"all": "2a 2b 2c 1d 2c 2b 1a"})) == []
    assert kinds(plan_of(loads={"all": "2a 2b 2c 6d 2c 1b"}, core={"on": "cord"})) == []


def test_many_strands_of_beads_want_a_core() -> None:
    """Twelve strands of 8/0 stand round a wide hollow; the same cord without beads does not."""
    assert kinds(plan_of("kongo-12", loads={"all": "20c"}, threads=SINGLE)) == ["no-core"]
    assert kinds(plan_of("kongo-12", loads={}, crosses=100, threads=SINGLE)) == []


def test_a_drop_that_begins_on_large_beads_stands_open() -> None:
    """Rows of 6/0 at the very start close nothing; under caps they may stand."""
    large = {"all": "1d 2c 2b 2a"}
    (finding,) = found(plan_of(loads=large))
    assert finding.kind == "open-end"
    assert "begins on d (6/0)" in finding.says
    assert finding.at.row == 1
    assert kinds(plan_of(loads=large, finish={"threads": 0})) == []
    assert kinds(plan_of(loads={"all": "2a 2b 2c 1d"})) == ["open-end"]


@pytest.mark.parametrize(("small", "stands_open"), [(1, True), (5, False)])
def test_an_open_end_is_judged_by_the_bead_in_its_middle(small: int, stands_open: bool) -> None:
    """One 15/0 among seven 6/0 does not close an end; five of them among three do."""
    loads = {"all": "1d 2c 2b 2a"} | {str(s): "1a 2c 2b 2a" for s in range(1, small + 1)}
    ends = [finding for finding in found(plan_of(loads=loads)) if finding.kind == "open-end"]
    assert [finding.at.row for finding in ends] == [1] * stands_open
    assert all("begins on d (6/0)" in finding.says for finding in ends)


def test_a_cure_is_told_as_a_change_of_the_file() -> None:
    """Plain crosses, the core's cross and a mark behind the end come with what to write."""
    early = EAVES["core"] | {"down_after_cross": 4}
    cures = {finding.kind: finding.cure for finding in found(plan_of(plain_start=6, core=early))}
    assert cures["plain-start"] == (Change(("plain_start",), 4),)
    assert cures["core-early"] == (Change(("core", "down_after_cross"), 18),)
    marks = [{"after_cross": 10, "do": "Look"}, {"after_cross": 900, "do": "Stop"}]
    late = plan_of(marks=marks, loads={"all": "4a"})
    (finding,) = found(late)
    assert finding.cure == (Change(("marks", 1, "after_cross"), late.crosses),)


@pytest.mark.parametrize("entry", LIBRARY.patterns(), ids=lambda entry: entry.name)
def test_every_shipped_pattern_is_sound_all_round(entry: Entry) -> None:
    """In every size nothing is found in what is shipped."""
    written = LIBRARY.plan(entry.path)
    for size in (None, *written.pattern.sizes):
        assert found(written.resolved(size)) == ()


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text("abcd", min_size=5, max_size=5), min_size=8, max_size=8))
def test_what_lies_beside_is_told_whenever_it_differs_too_much(loads: list[str]) -> None:
    """Whatever the loads: neighbours that differ by two steps are never passed in silence."""
    written = {str(strand): " ".join(f"1{x}" for x in load) for strand, load in enumerate(loads, 1)}
    plan = plan_of(loads=written)
    sizes = sizes_of(plan.pattern)
    growth = grow(plan, sizes)
    assert growth.lattice is not None
    unlike = {
        frozenset((one.bead, other.bead))
        for one, other in beside(growth.lattice)
        if not steps_by_one(sizes[one.bead], sizes[other.bead])
    }
    told = [f for f in findings(plan, growth, sizes) if f.kind in ("neighbours", "size-step")]
    assert len(told) >= len(unlike)
