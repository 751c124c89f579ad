"""The board on the smallest screen that it is made for, 60 by 20."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bench.screens.drawing.appearance_page import AppearancePage
from bench.screens.drawing.bead_choices import exchange_choices, size_choices
from bench.screens.drawing.colour_page import colour_page
from bench.screens.drawing.colourway_page import ColourwayPage
from bench.screens.drawing.motif_laying import MotifLaying
from bench.screens.drawing.new_bead import bead_more
from bench.screens.drawing.painting import Painting
from bench.screens.drawing.picture import PANEL, Picture
from bench.screens.drawing.row_choices import RowChoices
from bench.screens.drawing.shape_page import ShapePage
from bench.screens.drawing.shown_choices import show_choices, size_making
from bench.screens.kit.board_screen import LEAST_HEIGHT, LEAST_WIDTH
from bench.screens.kit.canvas import Canvas
from tests.support.boards import board

from .bare_board import BareBoard

MODES: dict[str, Callable[[BareBoard], object]] = {
    "painting": lambda at: at.to_mode(Painting(at, {})),
    "motif": lambda at: at.to_mode(MotifLaying(at)),
    "appearances": lambda at: at.to_mode(AppearancePage(at)),
    "rows": lambda at: at.to_mode(RowChoices(at)),
    "shape": lambda at: at.to_mode(ShapePage(at)),
    "colourways": lambda at: at.to_mode(ColourwayPage(at)),
    "colour": colour_page,
    "size": size_choices,
    "exchange": exchange_choices,
    "another bead": bead_more,
    "shown": show_choices,
    "another size": size_making,
}
TAKEN_BY_ENTER = {"motif", "appearances", "shape", "colourways", "colour"}


@pytest.mark.parametrize("name", MODES)
def test_what_takes_and_what_leaves_stand_at_the_foot(name: str) -> None:
    """Each page tells how to take what it shows, how to leave it, and where the help is."""
    at = BareBoard(board("cistern"))
    MODES[name](at)
    assert at.mode is not None
    whole = at.mode.whole
    canvas = Canvas(LEAST_WIDTH, LEAST_HEIGHT) if whole else Picture(at.drawing).draw(
        LEAST_WIDTH, LEAST_HEIGHT
    )  # fmt: skip
    at.mode.draw(canvas, 0 if whole else LEAST_HEIGHT - PANEL)
    foot = canvas.as_text().splitlines()[-1]
    assert "H help" in foot
    assert "Q leave" in foot if name == "painting" else "ESC" in foot
    assert ("ENTER" in foot) == (name in TAKEN_BY_ENTER)
