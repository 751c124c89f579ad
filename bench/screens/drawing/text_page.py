"""A text over the whole board, as much of it as finds room."""

from __future__ import annotations

from collections.abc import Iterable

from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.picking import scrolled

Line = tuple[str, str]
"""A text and its style."""
MOST_LINES = 10_000


class TextPage(BoardMode):
    """A text that up and down go on in."""

    whole = True

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host.drawing)
        self.host = host
        self.first = 0

    def scroll(self, key: str) -> None:
        """Go on in the text, or back."""
        self.first = scrolled(self.first, key.replace("page", "page_"), MOST_LINES, 1)

    def draw_text(self, canvas: Canvas, heading: str, text: Iterable[Line], told: str) -> None:
        """Draw the heading and the lines in sight; below them what is to be told, if anything."""
        width, height = canvas.width, canvas.height
        canvas.text(1, 0, heading, "bold")
        canvas.rule(1)
        lines = [(line, style) for said, style in text for line in wrap(said, width - 2) or [""]]
        last = wrap(told, width - 2)[:2]
        room = height - 4 - max(1, len(last))
        self.first = scrolled(self.first, "", len(lines), room)
        for y, (line, style) in enumerate(lines[self.first : self.first + room], 2):
            canvas.text(1, y, line, style)
        if len(lines) > room and not last:
            canvas.text(1, height - 3, f"{len(lines)} lines: UP and DOWN", "dim")
        for y, line in enumerate(last, height - 2 - len(last)):
            canvas.text(1, y, line, "warn")
