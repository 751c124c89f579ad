"""Laying a motif, by its keys."""

from __future__ import annotations

from bench.design.sheet import Cell
from bench.screens.drawing.motif_laying import KINDS_IN_ORDER, MotifLaying
from tests.support.boards import with_loads

from .bare_board import BareBoard


def laying(load: str, hand: str = "") -> tuple[BareBoard, MotifLaying]:
    """A motif on strands of one load."""
    board = BareBoard(with_loads(load))
    board.drawing.hand = hand
    mode = MotifLaying(board)
    board.to_mode(mode)
    return board, mode


def test_a_motif_begins_with_a_bead_that_shows_on_the_ground() -> None:
    """Not with the ground's own, even if that is in hand; what shows nothing is told."""
    board, mode = laying("b" * 12, hand="b")
    assert mode.motif.bead != "b"
    assert board.drawing.preview is not None
    assert board.drawing.preview.loads != board.drawing.draft.sheet.loads
    board.press("2")
    assert "Nothing changes: b lies there already" in board.shown()
    board.press("3")
    assert mode.motif.bead == "c"
    assert laying("b" * 12, hand="d")[1].motif.bead == "d"


def test_tab_goes_to_the_next_motif_and_shift_tab_back() -> None:
    """All round either way, and one step there and back again is where it was."""
    board, mode = laying("b" * 12)
    seen = []
    for key in ["tab"] * 5 + ["shift+tab"] * 5:
        seen.append(mode.motif.motif)
        board.press(key)
    assert sorted(seen[:5]) == sorted(KINDS_IN_ORDER)
    assert seen[6:] == seen[1:5][::-1]


def test_on_a_shape_a_motif_lays_its_colour_and_each_bead_keeps_its_size() -> None:
    """A stripe over rows of four sizes leaves the outline; with O it is of one bead."""
    at, mode = laying("aabbccddccbbaa")
    before = at.drawing.draft.sheet
    at.press("4")
    assert mode.motif.motif == "stripe"
    assert mode.motif.keep_sizes
    made = at.drawing.preview
    assert made is not None
    cells = [Cell(mode.motif.strand, row) for row in range(1, 15)]
    sizes = [made.beads[made.at(cell)].size for cell in cells]
    assert sizes == [before.beads[before.at(cell)].size for cell in cells]
    assert {made.beads[made.at(cell)].colour for cell in cells} == {before.beads["d"].colour}
    dusk = made.pattern.resolve(None, "dusk").beads
    assert {dusk[made.at(cell)].colour for cell in cells} == {dusk["d"].colour}
    at.press("o")
    assert at.drawing.preview is not None
    assert {at.drawing.preview.at(cell) for cell in cells} == {"d"}
    assert not laying("b" * 12)[1].motif.keep_sizes


def test_a_figure_is_changed_by_touching_its_arrows() -> None:
    """Of the figure that is picked; another one is picked by a touch."""
    at, mode = laying("b" * 12)
    at.touch_at("dots")
    at.touch_at("▶")
    assert mode.motif.repeat == 7
    at.touch_at("◀")
    at.touch_at("◀")
    assert mode.motif.repeat == 5
    at.touch_at("width")
    at.touch_at("▶")
    assert (mode.motif.repeat, mode.motif.width) == (5, 2)
    at.touch_at("spiral")
    assert mode.motif.motif == "spiral"


def test_a_motif_that_was_laid_is_laid_anew_on_the_ground_that_was_there() -> None:
    """Its figures can be changed again; a bead that only it had made is not taken for it."""
    at, _ = laying("aabbccddccbbaa")
    ground = at.drawing.draft.sheet
    at.press("4", "enter")
    made = at.drawing.draft.sheet
    assert len(made.beads) > len(ground.beads)
    at.to_mode(MotifLaying(at))
    for digit in "123456789":
        at.press(digit)
        assert "MOTIF" in at.shown()
    at.press("4", "right", "enter")
    assert len(at.drawing.draft.history.done) == 1


def test_the_colours_of_a_new_bead_lead_back_to_the_motif() -> None:
    """With ESC nothing has changed; a bead that is there already is taken and told as that."""
    at, mode = laying("b" * 12)
    at.press("i", "escape")
    assert at.mode is mode
    before = at.drawing.draft.sheet.beads
    at.press("i", "n", "down", "enter")
    again = at.mode
    assert isinstance(again, MotifLaying)
    assert again.motif.bead == "b"
    assert at.drawing.draft.sheet.beads == before
    assert "Nothing changes: b lies there already" in at.shown()
