"""A shape from a wish, by its keys."""

from __future__ import annotations

from bench.screens.drawing.shape_page import ShapePage
from bench.screens.drawing.shown_choices import show_choices
from tests.support.boards import board, with_loads

from .bare_board import BareBoard


def test_proposals_name_their_beads_and_the_shape_gets_a_core() -> None:
    """Rows are told by sizes, never by letters that stand for others above; large rows get a core.

    A fourth height changes nothing of that.
    """
    sheet = with_loads("b").with_pattern(core=None, sizes={}, colourways={})
    at = BareBoard(sheet)
    page = ShapePage(at)
    at.to_mode(page)
    at.press("w", "enter")
    shown = at.shown()
    rows = next(line for line in shown.splitlines() if "×" in line)
    counted = [part.split("×") for part in rows.split()[1:]]
    assert {size for _, size in counted} <= {"15/0", "11/0", "8/0", "6/0"}
    assert sum(int(count) for count, _ in counted) == len(page.fits[0].rows)
    assert ", 40% " in shown
    at.press("enter")
    core = at.drawing.draft.sheet.pattern.core
    assert core is not None
    assert core.beads
    assert "with a core" in at.drawing.said


def test_what_is_shown_is_marked_and_enter_goes_on() -> None:
    """The size and colourway that hold now have a sign of their own; Enter is enough to leave."""
    at = BareBoard(board("silver-eaves"))
    show_choices(at)
    assert "size as written ◀" in at.shown()
    at.press("2", "b")
    shown = at.shown()
    assert "size small ◀" in shown
    assert "size as written ◀" not in shown
    assert "colourway dusk ◀" in shown
    at.press("enter")
    assert at.mode is None
