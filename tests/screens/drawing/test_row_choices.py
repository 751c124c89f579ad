"""What is done with whole rows, by its keys."""

from __future__ import annotations

from bench.screens.drawing.row_choices import RowChoices
from bench.screens.drawing.shown_choices import size_making
from tests.support.boards import board, with_loads

from .bare_board import BareBoard


def test_uneven_ends_are_shown_before_rows_are_moved_on() -> None:
    """The first key shows what would be open, the same key again does it, another one does not."""
    at = BareBoard(with_loads("abcdabcd"))
    drawing, sheet = at.drawing, at.drawing.draft.sheet
    at.to_mode(RowChoices(at))
    at.press("right")
    assert drawing.draft.sheet is sheet
    assert drawing.preview is not None
    assert drawing.preview.open_cells > 0
    assert f"{drawing.preview.open_cells} cells open at the ends; RIGHT again" in at.shown()
    at.press("left")
    assert drawing.draft.sheet is sheet
    assert "LEFT again" in at.shown()
    at.press("m")
    assert drawing.preview is None
    assert drawing.draft.sheet.open_cells == 0
    at.press("left", "left")
    assert drawing.draft.sheet.open_cells > 0


def test_larger_beads_that_flatten_a_shape_are_told() -> None:
    """Where the table has nothing larger two sizes become one: which, and what is asked."""
    at = BareBoard(board("silver-eaves"))
    size_making(at)
    at.press("2")
    at.asked[-1].keep("grand")
    assert "What does d (6/0 round) become in grand?" in at.drawing.said
    assert "c and d are equally thick there, which flattens it" in at.drawing.said
    size_making(at)
    at.press("1")
    at.asked[-1].keep("little")
    assert "equally thick" not in at.drawing.said
