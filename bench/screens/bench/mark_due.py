"""A mark that is due: it takes the whole screen until its own key says that it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bench.making.attention import drift_of, drift_words
from bench.screens.bench.at_the_braid import AtTheBraid
from bench.screens.bench.length_made import length_words
from bench.screens.bench.mode import Bench
from bench.screens.bench.standing import LEAVE_WEIGHT, NOTE, PAUSE
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.deeds import Deed
from bench.screens.kit.framed_page import MARGIN, draw_title, framed, title_lines
from bench.screens.kit.page import caution, caution_height, numbered
from bench.screens.kit.view import View

NO_WIRE = ("No wire in it? Leave the core out and go on: the belly may not stand.",)
"""What a maker does who has no core in the braid."""


class MarkDue(AtTheBraid):
    """Something is to be done before the next cross."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        due = self.braid.mark_due
        assert due is not None
        self.due = due
        self.drift = drift_of(self.braid)

    def deeds(self) -> Sequence[Deed]:
        """Done, or one back."""
        done = "what the screen asks for is done: braiding goes on"
        back = "you took the last cross back: it comes out first, the mark comes again"
        return (
            Deed("mark", done, "", self.mark),
            Deed("back", back, "", self.take_back),
            PAUSE,
            replace(NOTE, foot=None),
            LEAVE_WEIGHT,
        )

    def enter(self) -> None:
        """Ring, if the maker wants it, the first time."""
        self.bench.ring((self.due.after_cross, self.due.id))

    def holds(self) -> bool:
        """Whether the same mark is still due."""
        return self.braid.mark_due == self.due

    def mark(self) -> None:
        """Count the mark as done."""
        self.bench.done = f"done: {self.braid.mark_done().do}"
        self.between_rows()

    def spoken(self) -> str:
        """What is to be done, with its caution."""
        return f"stop: {self.due.do}. {self.due.caution}".strip()

    def draw(self, view: View) -> Canvas:
        """Draw a mark that is due: large words, numbered steps, the caution."""
        mark = self.due
        canvas = framed(view, "mark", double=False)
        where = "before the first cross"
        if mark.after_cross:
            where = f"after cross {mark.after_cross} of {self.braid.plan.crosses}"
        if more := len(self.braid.marks_due) - 1:
            where += f"; {more} more to do after this"
        canvas.text(MARGIN - 1, 0, f" {where} ", "bold")
        length = length_words(self.braid, self.bench.growth, mark.after_cross)
        if length:
            canvas.right(0, f" {length} ", end=canvas.width - MARGIN + 1)
        steps = (mark.steps or (mark.do,)) + (NO_WIRE if mark.kind == "core-down" else ())
        lines = sum(len(wrap(step, canvas.width - 9)) for step in steps)
        lines += caution_height(canvas, mark.caution, MARGIN)
        y = draw_title(canvas, self._top(canvas, lines), mark.do, "warn", below=lines)
        spare = canvas.height - 5 - y - lines
        y = numbered(canvas, y, steps, None, MARGIN, "bold")
        caution(canvas, y + 1 if spare > 0 else y, mark.caution, None, MARGIN)
        key = draw_main_key(canvas, view, f"{view.keys.name('mark')}  it is done")
        canvas.text(MARGIN, key - 1, view.said, "warn", canvas.width - 2 * MARGIN)
        if self.drift is not None and not view.said:
            self._draw_drift(canvas, key - 1, drift_words(self.drift))
        return canvas

    def _draw_drift(self, canvas: Canvas, above: int, text: str) -> None:
        """Write how the hands were lately over the keys, or under them where that is taken."""
        taken = any(ch != " " for ch, _ in canvas.rows[above][1:-1])
        y = canvas.height - 2 if taken else above
        canvas.text(MARGIN, y, text, "warn", canvas.width - 2 * MARGIN)

    def _top(self, canvas: Canvas, lines: int) -> int:
        """The line where the title begins: the second, unless it would be smaller there."""
        room, high = canvas.width - 2 * MARGIN, canvas.height - 4 - lines
        best, lower = (
            title_lines(self.due.do, room, high - top, twice=canvas.height >= 34) for top in (1, 2)
        )
        return 2 if best == lower else 1
