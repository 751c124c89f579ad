"""A page on which one line is typed or pasted, for a note or a reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.widgets.input import Selection

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.companion import Companion
from bench.screens.kit.line_screen import LineScreen


class TextEntry(LineScreen):
    """Asks for one line of text and gives it to `keep`; one left empty, or left, is not kept."""

    def __init__(
        self,
        companion: Companion,
        title: str,
        asks: str,
        most: int,
        keep: Callable[[str], None],
        earlier: Sequence[str] = (),
    ) -> None:
        """Ask for at most so many characters; `earlier` lines stand above, the latest last."""
        super().__init__(companion, most)
        self.earlier = earlier
        self.heading, self.asks, self.keep = title, asks, keep

    def begin_with(self, text: str) -> None:
        """Put a text on the line, to be typed over or changed."""
        self.input.value = text
        self.input.selection = Selection(0, len(text))

    def take_line(self) -> None:
        """Keep the line."""
        text = self.input.value.strip()
        self.app.pop_screen()
        if text:
            self.keep(text)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw what is asked; the line itself lies over it."""
        canvas = Canvas(width, height)
        canvas.frame(0, 0, width, height, "rule", double=False)
        canvas.text(3, 2, self.heading, "call")
        y = self._draw_earlier(canvas, 4)
        for line in wrap(self.asks, width - 6):
            canvas.text(3, y, line)
            y += 1
        self.input.styles.offset = (0, y + 1)
        left = self.input.most - len(self.input.value)
        if left <= self.input.most // 4:
            canvas.text(4, y + 3, f"room for {left} more", "warn" if not left else "")
        self.draw_keys(canvas, 3, height - 2, "keep it")
        return canvas

    def _draw_earlier(self, canvas: Canvas, y: int) -> int:
        """Draw the earlier lines, the latest of them if not all find room; return the next line."""
        lines = [line for text in self.earlier for line in wrap(text, canvas.width - 6)]
        room = max(0, canvas.height - 4 - 7 - 1)
        shown = lines[-room:] if room else []
        if len(shown) < len(lines):
            shown[0] = f"… {len(lines) - len(shown) + 1} lines more on the piece's page"
        for line in shown:
            canvas.text(3, y, line)
            y += 1
        return y + bool(shown)
