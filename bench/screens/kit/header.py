"""The first line of a page about a piece, and what may lie over it."""

from __future__ import annotations

from collections.abc import Sequence

from bench.journal.piece_state import PieceState
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View


def draw_header(canvas: Canvas, state: PieceState, view: View) -> None:
    """Draw the first line: what is being made, the time it took, and when it is ready."""
    title = state.title.upper()
    sample = "the sample" if state.to_be_sample else ""
    kind = ", ".join(filter(None, (sample, *state.kind_words, state.tag)))
    right = "   ".join(part for part in (view.hands_on, view.ready) if part)
    start = canvas.right(0, right, end=view.width - 1) if right else view.width
    if state.sew_ins:
        noted = f"sew-in noted: {len(state.sew_ins)}"
        start = canvas.right(0, noted, "warn", end=start - (3 if right else 1))
    end = canvas.text(1, 0, title, "bold", start - 3)
    if kind and end + 3 < start:
        canvas.text(end + 2, 0, kind, "", start - end - 4)


def headed(state: PieceState, view: View) -> Canvas:
    """An empty page under the first line and a rule."""
    canvas = Canvas(view.width, view.height)
    draw_header(canvas, state, view)
    canvas.rule(1)
    return canvas


def draw_banner(canvas: Canvas, view: View) -> None:
    """Write the banner over the first line, if there is one."""
    if view.banner:
        canvas.fill(0, 0, view.width, 1, "mark")
        canvas.text(1, 0, view.banner, "mark")


def draw_alarm(canvas: Canvas, texts: Sequence[str]) -> None:
    """Write the first of these texts that fits in large letters over the lower lines but the last.

    What the hands need next, above them, and the keys below stay to be seen.
    """
    room = canvas.width - 2
    text = next((text for text in texts if width_of(text) <= room), texts[-1])
    top = canvas.height - HEIGHT - 1
    canvas.fill(0, top, canvas.width, HEIGHT, "mark")
    big(canvas, 1, top, text, "mark")
