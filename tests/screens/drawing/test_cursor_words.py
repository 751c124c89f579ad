"""The bead under the cursor is told as the maker finds it at the stand."""

from __future__ import annotations

import re

import pytest

from bench.design.sheet import Cell
from bench.screens.drawing.cursor_words import what_lies_there, where_it_comes_in
from tests.support.boards import board

from .bare_board import BareBoard


@pytest.mark.parametrize("name", ["cistern", "silver-eaves"])
def test_every_bead_is_told_by_strand_number_cross_place_and_neighbours(name: str) -> None:
    """As the plan has it: the cross that brings it in, and the place that its strand comes from."""
    drawing = BareBoard(board(name)).drawing
    sheet, plan = drawing.sheet, drawing.sheet.plan()
    for strand, load in enumerate(sheet.loads, 1):
        for row, letter in enumerate(load, 1):
            drawing.go_to(Cell(strand, row))
            bead = sheet.beads[letter]
            said = what_lies_there(drawing, sheet.pattern)
            assert said.startswith(f"strand {strand}, its bead {row} of {len(load)}: {letter}, ")
            assert f"{bead.name} {bead.size}" in said
            cross = plan.cross_of(strand, row - 1)
            carried = next(m.transfer for m in plan.step(cross).moves
                           if m.transfer.strand == strand)  # fmt: skip
            place = sheet.structure.places[carried.start - 1]
            where = where_it_comes_in(drawing)
            assert where.startswith(f"cross {cross}, from the {place}")
            beside = re.findall(r"([a-z])(\d)", where.partition("lies against ")[2])
            assert 1 <= len(beside) <= 4
            assert all(one in sheet.loads[int(of) - 1] for one, of in beside)


def test_what_is_no_bead_is_told_as_what_it_is() -> None:
    """Open, without a bead, and behind the last one."""
    at = BareBoard(board("cistern"))
    drawing = at.drawing
    drawing.paint("?")
    assert "open, no bead chosen yet" in what_lies_there(drawing, drawing.sheet.pattern)
    drawing.paint("-")
    assert "carried without a bead" in what_lies_there(drawing, drawing.sheet.pattern)
    drawing.row = drawing.last_row
    assert "behind its last bead" in what_lies_there(drawing, drawing.sheet.pattern)
