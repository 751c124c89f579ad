"""A line that is typed at the board: what is wrong with it is told while it is typed."""

from __future__ import annotations

from collections.abc import Callable

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding

from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.question import Question
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.text_entry import LineInput

LONGEST = 2000
"""Characters of a line at the most."""


class TypedLine(BoardScreen):
    """Asks for one line over the board, so that the picture follows what is typed."""

    BINDINGS = [Binding("escape", "leave", "leave it")]  # noqa: RUF012
    DEFAULT_CSS = """
    TypedLine { layers: page line; }
    TypedLine Board { layer: page; }
    TypedLine LineInput {
        layer: line; dock: top; margin: 0 3; height: 1; border: none; padding: 0;
        background: $background; color: $foreground;
        &:focus { border: none; }
    }
    """

    def __init__(
        self,
        companion: DrawingCompanion,
        question: Question,
        behind: Callable[[int, int], Canvas],
        answered: Callable[[], None],
    ) -> None:
        """`behind` draws the board; `answered` is called when the line has gone."""
        super().__init__(companion)
        self.question, self.behind, self.answered = question, behind, answered
        self.input = LineInput(LONGEST)
        self.input.value = question.value
        self.input.select_on_focus = True
        self.wrong = ""

    def compose(self) -> ComposeResult:
        """Hold the picture, and the line over it."""
        yield self.board
        yield self.input

    async def on_key(self, event: events.Key) -> None:
        """Let a key that the line has no use for go on to the bindings."""
        event.prevent_default()
        self.companion.heard()

    def on_input_changed(self) -> None:
        """Have the picture follow, and say what is wrong."""
        self.companion.heard()
        self.wrong = self.question.look(self.input.value.strip())
        self.redraw()

    def on_input_submitted(self) -> None:
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
        self.app.pop_screen()
        self.answered()

    def touch(self, action: str) -> None:
        """Take the line, or leave it."""
        if action == "enter":
            self.on_input_submitted()
        else:
            self.action_leave()

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
        x = 1
        for key, what, action in (("ENTER", "take it", "enter"), ("ESC", "leave it", "escape")):
            end = canvas.text(canvas.text(x, height - 1, key, "key") + 1, height - 1, what)
            canvas.zone(x, height - 1, end - x, 1, action)
            x = end + 3
        return canvas
