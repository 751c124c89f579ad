"""Not what I see: the first questions, and where each answer leads."""

from __future__ import annotations

from bench.braid import Braid

from . import words
from .bench_view import View
from .canvas import Canvas, wrap

CHOICES = (
    ("1", "The braid is right, the count is not", "two looks set the count"),
    ("2", "The last cross went wrong", "take it back: the reverse move is shown"),
    ("3", "A bead is missing or another one hangs there", "keep it as a note with its place"),
)


def draw_slip(braid: Braid, view: View) -> Canvas:
    """Draw what the plan says is on the stand now, and the choices."""
    canvas = Canvas(view.width, view.height)
    canvas.frame(0, 0, view.width, view.height, "rule", double=False)
    canvas.text(3, 1, "NOT WHAT I SEE", "call")
    y = 3
    step = braid.next_step
    if step is not None:
        canvas.text(3, y, f"The plan says: {step.call} is next, and there hang next", "bold")
        y += 1
        for move in step.carried:
            rest = braid.plan.remaining(move.strand, braid.made)
            bead = words.bead_words(braid.plan, rest[0]) if rest and rest[0] != "-" else "nothing"
            place = braid.structure.places[move.transfer.start - 1]
            canvas.text(5, y, f"{place}: {bead}", "", view.width - 8)
            y += 1
    last = braid.last_step
    if last is not None:
        canvas.text(3, y, f"uppermost on the braid: {last.call}", "", view.width - 6)
        y += 1
    y += 1
    for key, what, leads in CHOICES:
        canvas.text(3, y, key, "key")
        canvas.text(6, y, what, "bold", view.width - 9)
        canvas.text(6, y + 1, leads, "", view.width - 9)
        canvas.zone(3, y, view.width - 6, 2, key)
        y += 3
    for line in wrap("Stick in and weight off before you reach under the braid.", view.width - 16):
        canvas.text(3, y, "CAUTION", "mark")
        canvas.text(12, y, line)
        y += 1
    canvas.text(3, view.height - 2, "ESC back to braiding, nothing changed")
    return canvas
