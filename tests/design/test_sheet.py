"""The sheet: from a pattern and back, its picture, and what painting does to it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.bead_weighings import masses_of
from bench.craft.growth import grow, sizes_of
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.design.braid_map import braid_map
from bench.design.painting import block, paint, put, type_load
from bench.design.sheet import Cell, Sheet
from bench.design.spread import ONE, spreads
from bench.documents.settings import Settings
from bench.making.calibration import Calibration
from bench.making.picture_answer import picture_of
from bench.making.worked_pattern import WorkedPattern
from tests.support.boards import BEADED, board, structure, with_loads

LOADS = st.lists(st.text("abcd-", min_size=1, max_size=9), min_size=8, max_size=8)


def worked(sheet: Sheet) -> WorkedPattern:
    """The sheet worked up as the commands do with a pattern's file."""
    plan = Plan(sheet.to_pattern(), sheet.structure)
    sizes = sizes_of(plan.pattern)
    assert masses_of(plan.pattern, sizes, ())
    return WorkedPattern(
        "sheet", None, None, plan, sizes, grow(plan, sizes), (), (), Calibration(), None
    )


@pytest.mark.parametrize("name", BEADED)
def test_a_pattern_comes_back_from_its_sheet(name: str) -> None:
    """To a sheet and back, every load and all else of a shipped pattern is as it was."""
    sheet = board(name)
    pattern = sheet.to_pattern()
    assert Sheet.of(pattern, sheet.structure).loads == sheet.loads
    assert pattern.model_copy(update={"loads": {}}) == sheet.pattern.model_copy(
        update={"loads": {}}
    )


@given(LOADS.filter(lambda loads: any(load.strip("-") for load in loads)))
def test_any_sheet_comes_back_from_its_pattern(loads: list[str]) -> None:
    """A sheet written as a pattern and read again has the same cells."""
    sheet = with_loads(*loads)
    assert Sheet.of(sheet.to_pattern(), sheet.structure).loads == sheet.loads


@given(LOADS.filter(lambda loads: any(load.strip("-") for load in loads)))
def test_the_picture_is_the_sheet(loads: list[str]) -> None:
    """Each bead of the command `picture` stands where the board shows its cell, and no other."""
    sheet = with_loads(*loads)
    lies = braid_map(sheet.structure, sheet.pattern.plain_start)
    cells = {
        Cell(strand, row): letter
        for strand, load in enumerate(sheet.loads, 1)
        for row, letter in enumerate(load, 1)
        if letter != "-"
    }
    drawn = {
        (b.cross, b.strand, b.column, b.bead) for b in picture_of(worked(sheet), Settings()).beads
    }
    assert drawn == {
        (lies.cross(cell), cell.strand, lies.column(cell), letter) for cell, letter in cells.items()
    }
    for cell in cells:
        assert lies.cell_at(lies.column(cell) or 0, lies.cross(cell)) == cell


def test_open_cells_are_no_pattern() -> None:
    """A sheet with an open cell says how many, and is not written as a pattern."""
    sheet = paint(board(), [Cell(3, 2)], "?")
    assert sheet.open_cells == 1
    with pytest.raises(Fault, match="1 cell is still open"):
        sheet.to_pattern()
    assert Sheet.blank(board().pattern, structure(), 3).open_cells == 24


def test_the_neighbours_of_a_cell_are_the_beads_that_touch_it() -> None:
    """Of all equal beads laid by the lattice, exactly those four lie one diameter away."""
    sheet = with_loads("a" * 9)
    lies = braid_map(sheet.structure, 4)
    growth = grow(sheet.plan(), sizes_of(sheet.pattern))
    assert growth.lattice is not None
    at = {
        (bead.strand, bead.cross): (
            bead.radius_mm * math.cos(math.radians(bead.angle_deg)),
            bead.radius_mm * math.sin(math.radians(bead.angle_deg)),
            bead.height_mm,
        )
        for bead in growth.lattice.spots
    }
    cell = Cell(3, 5)
    here = at[cell.strand, lies.cross(cell)]
    touching = {where for where, there in at.items() if 0 < math.dist(here, there) < 1.5001}
    assert {(n.strand, lies.cross(n)) for n in lies.neighbours(cell)} == touching
    assert len(touching) == 4


def test_stripes_lie_in_their_order_round_the_braid() -> None:
    """Clockwise from above 2 4 5 7 6 8 1 3: from left to right outside, 2 3 1 8 6 7 5 4.

    The craft's own test reads that order from the heights and angles of a laid braid.
    """
    assert braid_map(structure(), 4).stripes == (2, 4, 5, 7, 6, 8, 1, 3)
    for name in ("hollow-8", "round-4"):
        other = braid_map(structure(name), 4)
        assert not other.known
        assert other.stripes == tuple(range(1, other.structure.strands + 1))
        assert other.neighbours(Cell(1, 3)) == ()


def test_painting_reaches_what_the_spread_says() -> None:
    """One bead is painted on one strand, on its opposite, or on the six of a column each."""
    sheet = with_loads("aaaa")
    by_name = {spread.name: spread for spread in spreads(sheet.structure, 4)}
    assert [spread.reach for spread in by_name.values()] == [1, 2, 4, 6, 8]
    assert paint(sheet, [Cell(2, 3)], "b", ONE).loads[1] == "aaba"
    opposite = paint(sheet, [Cell(2, 3)], "b", by_name["opposite"])
    assert [n for n, load in enumerate(opposite.loads, 1) if "b" in load] == [2, 6]
    six = paint(sheet, [Cell(1, 3)], "b", by_name["once in each column"])
    strands = [n for n, load in enumerate(six.loads, 1) if "b" in load]
    assert strands == [1, 2, 4, 5, 6, 8]
    lies = braid_map(sheet.structure, 4)
    assert {lies.column(Cell(strand, 3)) for strand in strands} == set(range(6))


def test_painting_fills_up_what_a_strand_lacks() -> None:
    """A bead beyond a strand's end leaves the cells before it open; others stay untouched."""
    sheet = paint(with_loads("ab"), [Cell(4, 5)], "c")
    assert sheet.loads[3] == "ab??c"
    assert {load for n, load in enumerate(sheet.loads) if n != 3} == {"ab"}


def test_blocks_and_loads() -> None:
    """A block and a typed load are painted whole."""
    sheet = with_loads("aaaa")
    painted = paint(sheet, block((1, 2), 3, 2), "d")
    assert painted.loads[:3] == ("adda", "adda", "aaaa")
    assert type_load(sheet, 5, "abcd").loads[4] == "abcd"
    assert put(sheet, {Cell(1, 1): "b", Cell(1, 2): "c"}).loads[0] == "bcaa"


@given(LOADS, st.integers(1, 8))
def test_typing_what_is_shown_changes_nothing(loads: list[str], strand: int) -> None:
    """The load of a strand typed as it stands gives the same sheet."""
    sheet = with_loads(*loads)
    assert type_load(sheet, strand, sheet.loads[strand - 1]).loads == sheet.loads


@pytest.mark.parametrize(
    ("cell", "letter", "says"),
    [
        (Cell(9, 1), "a", "there is no strand 9"),
        (Cell(1, 0), "a", "there is no row 0"),
        (Cell(1, 1), "z", "there is no bead 'z' on this board; known: a, b, c, d"),
        (Cell(1, 20_001), "a", "20,000 at most"),
    ],
)
def test_what_cannot_be_painted_is_told(cell: Cell, letter: str, says: str) -> None:
    """A strand, row or letter that is not there is one sentence."""
    with pytest.raises(Fault, match=says):
        paint(board(), [cell], letter)
