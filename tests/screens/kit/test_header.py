from __future__ import annotations

import pytest
from rich.cells import cell_len

from bench.documents.settings import Settings
from bench.journal.piece_state import PieceState
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.header import draw_header
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View

TIMES = "hands-on 41 min   ready about 15:50"


@pytest.mark.parametrize(
    ("title", "kind"),
    [
        ("水晶の雫", "small, dusk"),
        ("銀の軒 水晶の雫水晶の雫水晶", "small, dusk"),
        ("水晶の雫" * 5, ""),
    ],
)
def test_a_title_of_wide_letters_has_the_whole_line(title: str, kind: str) -> None:
    """A title of letters two cells wide is cut only where the times begin; the kind stands behind.

    Counted by the cells that the terminal gives each letter (Unicode TR 11, wide).
    """
    view = View(80, 20, Keys(Settings()), hands_on="hands-on 41 min", ready="ready about 15:50")
    canvas = Canvas(80, 20)
    draw_header(canvas, PieceState("x", pattern_title=title, size="small", colourway="dusk"), view)
    line = canvas.as_text().split("\n")[0]
    assert line.split("  ")[0] == f" {title}"
    assert line.endswith(TIMES)
    assert cell_len(line) == 79
    assert line.removesuffix(TIMES).removeprefix(f" {title}").strip() == kind
