"""What the bench says of the changes to come, and of whose rows it shows."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.craft.coming_up import changed, rows_line, soon, soon_words, whose_rows
from bench.craft.plan import Plan
from bench.documents.library import Library


@pytest.fixture
def library(tmp_path: Path) -> Library:
    """The shipped patterns."""
    return Library(tmp_path / "none")


def plan_of(library: Library, name: str) -> Plan:
    """The plan of a shipped pattern."""
    path = library.pattern_path(name)
    return library.plan(path)


def test_a_change_is_counted_down_to_its_row_and_then_the_next_one_is(library: Library) -> None:
    """Row 7 of the cistern changes all eight: the count falls to it cross by cross, in one wording.

    How many go to which bead is said; with the first new bead at hand the next change is told.
    """
    plan = plan_of(library, "cistern")
    words = "all eight change: six to d 6/0, two to e 6/0"
    told = []
    for cross in range(25, 33):
        change = soon(plan, cross - 1)
        assert change is not None
        told.append(soon_words(change))
    assert told == [
        f"in 4 crosses {words}",
        f"in 3 crosses {words}",
        f"in 2 crosses {words}",
        f"after this cross {words}",
        *[f"in {ahead} crosses all eight change to c 8/0" for ahead in (16, 15, 14, 13)],
    ]


@pytest.mark.parametrize("name", ["cistern", "gutter-pearl", "second-drop", "silver-eaves"])
def test_no_change_is_passed_over(library: Library, name: str) -> None:
    """The change that is told is the next one, after the row once a new bead of that is at hand."""
    plan = plan_of(library, name)
    for made in range(plan.plain_start, plan.last_bead_cross):
        change = soon(plan, made)
        begun = made + 1 - plan.row_at(made + 1)[1]
        new = [
            plan.cross_of(strand, entry)
            for strand, load in enumerate(plan.loads, 1)
            for entry in range(1, len(load))
            if load[entry] != load[entry - 1]
        ]
        at_hand = any(begun < cross <= made + 1 for cross in new)
        after = plan.row_end(made + 1) if at_hand else made + 1
        coming = [cross for cross in new if cross > after]
        if change is not None and "last bead" not in change.words:
            assert change.crosses == min(coming) - made - 1
        else:
            assert not coming


def test_the_first_beads_are_told_in_the_plain_crosses(library: Library) -> None:
    """Before any bead it is said which ones come first, and in how many crosses."""
    told = [
        soon(plan_of(library, name), made) for name in ("cistern", "stair-rope") for made in (0, 3)
    ]
    assert [what and soon_words(what) for what in told] == [
        "in 4 crosses the first beads: all eight a 15/0",
        "after this cross the first beads: all eight a 15/0",
        "in 4 crosses the first beads: six g 11/0, two s 11/0",
        "after this cross the first beads: six g 11/0, two s 11/0",
    ]


def test_a_row_without_beads_is_no_change_of_bead(library: Library) -> None:
    """After an empty move the same bead is none that changed; in the empty row the next is told."""
    plain = plan_of(library, "silver-eaves")
    plan = Plan(plain.pattern, plain.structure, ("aa-aa-bb",) * 8)
    start, row = plan.plain_start, plan.row_length
    new = [step.row for step in plan for move in step.carried if changed(plan, move, step.cross)]
    assert new == [7] * 8
    size_a, size_b = (plan.pattern.beads[letter].size for letter in "ab")
    for before in range(row):
        told = {number: soon(plan, start + number * row + before) for number in range(8)}
        assert {number: what and (what.words, what.crosses) for number, what in told.items()} == {
            0: ("all eight change to no bead", 2 * row - before),
            1: ("all eight change to no bead", row - before),
            2: (f"all eight change to a {size_a}", row - before),
            3: ("all eight change to no bead", 2 * row - before),
            4: ("all eight change to no bead", row - before),
            5: (f"all eight change to b {size_b}", row - before),
            6: ("all eight bring in their last bead; then they hang empty", row - before),
            7: None,
        }


def test_the_rows_are_said_to_be_whose(library: Library) -> None:
    """Where loads differ the line of rows names the place of its strand; where alike, none."""
    assert whose_rows(plan_of(library, "cistern"), 4) == "top, right:"
    assert whose_rows(plan_of(library, "cistern"), 5) == "right, lower:"
    assert whose_rows(plan_of(library, "silver-eaves"), 4) == ""


@pytest.mark.parametrize("name", ["silver-eaves", "stair-rope"])
@pytest.mark.parametrize("width", [30, 60])
def test_no_bead_is_present_in_plain_crosses(library: Library, name: str, width: int) -> None:
    """The rows mark a bead from the first bead cross to the last, the first bead first."""
    plan = plan_of(library, name)
    marked = []
    for made in range(plan.crosses):
        rows = rows_line(plan, made, width)
        here = [number for number, (_, present) in enumerate(rows) if present]
        assert len(here) == (plan.plain_start <= made < plan.last_bead_cross)
        marked += here
    assert marked[0] == 0
    assert rows_line(plan, 0, width)[0][0].endswith(plan.loads[1][0])
