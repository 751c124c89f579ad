"""A line that is typed at the board: what is wrong with it is told while it is typed."""

from __future__ import annotations

from collections.abc import Callable

from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.question import Question
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.line_screen import LineScreen

LONGEST = 2000
"""Characters of a line at the most."""


class TypedLine(LineScreen):
    """Asks for one line over the board, so that the picture follows what is typed."""

    DEFAULT_CSS = "TypedLine LineInput { margin: 0 3; }"

    def __init__(
        self,
        companion: DrawingCompanion,
        question: Question,
        behind: Callable[[int, int], Canvas],
        answered: Callable[[], None],
    ) -> None:
        """`behind` draws the board; `answered` is called when the line has gone."""
        super().__init__(companion, LONGEST)
        self.question, self.behind, self.answered = question, behind, answered
        self.input.value = question.value
        self.input.select_on_focus = not question.begun
        self.input.cursor_position = len(question.value)
        self.wrong = ""

    def look_at_line(self) -> None:
        """Have the picture follow, and say what is wrong."""
        self.wrong = self.question.look(self.input.value.strip())

    def take_line(self) -> None:
        """Take the line, unless something is wrong with it."""
        text = self.input.value.strip()
        self.wrong = self.question.look(text)
        if self.wrong:
            self.redraw()
            return
        self.app.pop_screen()
        self.question.keep(text)
        self.answered()

    def action_leave(self) -> None:
        """Go back; nothing is taken."""
        super().action_leave()
        self.answered()

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the picture, and under it what is asked and what is wrong."""
        canvas = self.behind(width, height)
        y = height - 8
        canvas.fill(0, y, width, 8, "")
        canvas.zones = []
        canvas.rule(y)
        canvas.text(1, y + 1, self.question.asks, "call", width - 2)
        canvas.text(1, y + 2, ">", "key")
        self.input.styles.offset = (0, y + 2)
        at = self.question.where(self.input.value) if self.wrong else None
        if at is not None and at < width - 6:
            canvas.text(3 + at, y + 3, "^", "warn")
        for number, line in enumerate(wrap(self.wrong, width - 4)[:2], y + 4):
            canvas.text(3, number, line, "warn")
        self.draw_keys(canvas, 1, height - 1, "take it")
        return canvas
