"""Operations on rows, and what goes with them: marks and core."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.growth import sizes_of
from bench.craft.pattern import CoreChange, SizeChange, TypedMark
from bench.craft.text import Fault
from bench.design.braid_map import braid_map
from bench.design.rows import (
    copy_rows,
    insert_rows,
    mirror_rows,
    move_on,
    move_rows,
    open_rows,
    repeat_rows,
    rows_of,
    take_out_rows,
    uneven_ends,
)
from bench.design.sheet import Cell, Sheet
from tests.support.boards import board, with_loads

LOADS = st.lists(st.text("abcd", min_size=1, max_size=9), min_size=8, max_size=8)


def eight(load: str) -> tuple[str, ...]:
    """One load for all strands."""
    return (load,) * 8


def test_rows_are_inserted_taken_out_copied_moved_repeated_and_mirrored() -> None:
    """Each operation on rows does on every strand what its name says."""
    sheet = with_loads("abcd")
    assert insert_rows(sheet, 2, open_rows(sheet, 1)).loads == eight("a?bcd")
    assert take_out_rows(sheet, 2, 3).loads == eight("ad")
    assert copy_rows(sheet, 1, 2, 5).loads == eight("abcdab")
    assert move_rows(sheet, 1, 2, 4).loads == eight("cabd")
    assert move_rows(sheet, 1, 2, 3) == sheet
    assert repeat_rows(sheet, 2, 3, 3).loads == eight("abcbcbcd")
    assert mirror_rows(sheet, 2, 4).loads == eight("adcb")


def test_a_strand_that_has_ended_goes_on_without_beads() -> None:
    """Rows put in behind a short strand's end come at their rows, not at its end."""
    sheet = with_loads("abc", *("abcde",) * 7)
    assert copy_rows(sheet, 1, 1, 6).loads == ("abc--a", *("abcdea",) * 7)
    assert repeat_rows(sheet, 3, 4, 2).loads == ("abc-c", *("abcdcde",) * 7)


@given(LOADS, st.data())
def test_rows_put_in_and_taken_out_again_change_nothing(
    loads: list[str], data: st.DataObject
) -> None:
    """Inserting rows and taking them out again gives the sheet before, marks and core too."""
    sheet = with_loads(*loads)
    first = data.draw(st.integers(1, sheet.rows))
    last = data.draw(st.integers(first, sheet.rows))
    before = data.draw(st.integers(1, sheet.rows + 1))
    put_in = insert_rows(sheet, before, rows_of(sheet, first, last))
    assert take_out_rows(put_in, before, before + last - first) == sheet


@given(LOADS, st.data())
def test_mirroring_twice_changes_nothing(loads: list[str], data: st.DataObject) -> None:
    """Rows whose order is turned round twice are as before."""
    sheet = with_loads(*loads)
    first = data.draw(st.integers(1, sheet.rows))
    last = data.draw(st.integers(first, sheet.rows))
    assert mirror_rows(mirror_rows(sheet, first, last), first, last).loads == sheet.loads


def test_marks_and_core_move_with_the_rows_in_every_size() -> None:
    """What lies behind inserted rows moves on by their crosses; what lies before stays."""
    sheet = board().with_pattern(
        marks=(TypedMark(after_cross=8, do="look"), TypedMark(after_cross=40, do="measure")),
        sizes={"small": SizeChange(core=CoreChange(down_after_cross=30))},
    )
    longer = insert_rows(sheet, 4, open_rows(sheet, 2)).pattern
    assert [mark.after_cross for mark in longer.marks] == [8, 48]
    assert sheet.pattern.core is not None
    assert longer.core is not None
    assert sheet.pattern.core.down_after_cross == 16
    assert longer.core.down_after_cross == 16
    small = longer.sizes["small"].core
    assert small is not None
    assert small.down_after_cross == 38
    assert take_out_rows(sheet, 1, 2).pattern.marks[0].after_cross == 4


def test_a_block_moves_on_by_stripes_and_keeps_its_picture() -> None:
    """Moved on, each bead stands one column on and one cross higher, in the strand there."""
    sheet = with_loads("aabaa", *("aaaaa",) * 7)
    lies = braid_map(sheet.structure, 4)
    moved = move_on(sheet, 2, 4, 1)
    (was,) = (Cell(1, 3),)
    (now,) = (Cell(s, r) for s in range(1, 9) for r in range(1, 7) if moved.at(Cell(s, r)) == "b")
    assert lies.cross(now) - lies.cross(was) == 1
    assert ((lies.column(now) or 0) - (lies.column(was) or 0)) % 6 in (1, 5)
    assert moved.open_cells == len(uneven_ends(sheet, 2, 4, 1)) > 0


@given(st.integers(-9, 9))
def test_moving_on_and_back_restores_the_picture(stripes: int) -> None:
    """A block moved on by so many stripes and back shows its beads where they were."""
    sheet = with_loads(*("a" * 12,) * 7, "a" * 5 + "b" + "a" * 6)
    there = move_on(sheet, 5, 7, stripes)
    (at,) = (Cell(s, r) for s in range(1, 9) for r in range(1, 13) if there.at(Cell(s, r)) == "b")
    back = move_on(there, at.row, at.row, -stripes)
    assert back.at(Cell(8, 6)) == "b"


def test_rows_that_are_not_there_are_told() -> None:
    """Rows outside the sheet, and repeating nothing, are one sentence."""
    sheet: Sheet = with_loads("abc")
    assert sizes_of(sheet.pattern)
    with pytest.raises(Fault, match="there are no rows 2 to 9; the sheet has 3"):
        take_out_rows(sheet, 2, 9)
    with pytest.raises(Fault, match="rows can go before row 1 to 4, not before row 6"):
        copy_rows(sheet, 1, 1, 6)
    with pytest.raises(Fault, match="at least once"):
        repeat_rows(sheet, 1, 1, 0)
