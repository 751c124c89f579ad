"""One line of typing, for a note or a reason."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.text import is_plain
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.view import View


@dataclass
class Line:
    """A line that is being typed."""

    title: str
    asks: str
    most: int
    text: str = ""

    def press(self, key: str, character: str | None) -> str | None:
        """Take a key; the text when it is kept, "" when it is left, None while it is typed."""
        if key == "escape":
            return ""
        if key == "enter":
            return self.text.strip()
        if key == "backspace":
            self.text = self.text[:-1]
        elif character is not None and is_plain(character) and len(self.text) < self.most:
            self.text += character
        return None


def draw_line(line: Line, view: View) -> Canvas:
    """Draw what is asked and what was typed so far."""
    canvas = Canvas(view.width, view.height)
    canvas.frame(0, 0, view.width, view.height, "rule", double=False)
    canvas.text(3, 2, line.title, "call")
    canvas.text(3, 4, line.asks, "", view.width - 6)
    y = 6
    for part in wrap(line.text + "▏", view.width - 8) or ["▏"]:
        canvas.text(4, y, part, "bold", view.width - 6)
        y += 1
    canvas.text(3, view.height - 2, "ENTER keep it   ESC leave it   BACKSPACE last letter")
    return canvas
