"""That the sketch could not be written, large, until the next key; it stays on the board."""

from __future__ import annotations

from bench.screens.drawing.drawing import Drawing
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of

WORDS = "NOT SAVED"


def draw_alarm(canvas: Canvas, y: int, drawing: Drawing) -> None:
    """Draw it over the panel: the words, why, and that nothing is lost while the board is up."""
    width = canvas.width
    if width_of(WORDS) + 4 <= width:
        big(canvas, 2, y, WORDS, "back")
    else:
        canvas.text(2, y, WORDS, "mark")
    why = drawing.unsaved or drawing.draft.trouble
    line = wrap(why, width - 4)[:1]
    canvas.text(2, y + HEIGHT, " ".join(line), "warn", width - 4)
    tries = f"{drawing.key('keep')} tries again" if drawing.unsaved else "every change tries again"
    said = f"It stays here: {tries}.  {drawing.key('help')} help  ESC leave"
    canvas.text(2, y + HEIGHT + 1, said, "bold", width - 4)
