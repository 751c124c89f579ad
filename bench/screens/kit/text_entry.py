"""A page on which one line is typed or pasted, for a note or a reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Input

from bench.craft.text import is_plain
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.companion import Companion


def one_line(text: str) -> str:
    """A text on one line: breaks and tabs become blanks, what else cannot be shown is left out."""
    return "".join(ch for ch in " ".join(text.split()) if is_plain(ch))


class LineInput(Input):
    """Textual's input; a paste keeps all its lines, as one, and as much as there is room for."""

    def __init__(self, most: int) -> None:
        super().__init__(max_length=most, select_on_focus=False)
        self.most = most
        self.cursor_blink = False

    def on_key(self, event: events.Key) -> None:
        """Take a sign back at once: by its binding it would come after letters typed since."""
        if event.key == "backspace":
            event.prevent_default()
            event.stop()
            self.action_delete_left()

    def on_paste(self, event: events.Paste) -> None:
        """Put what is pasted at the cursor, or in place of what is selected."""
        event.prevent_default()
        event.stop()
        room = self.most - len(self.value) + len(self.selected_text)
        self.replace(one_line(event.text)[:room], *sorted(self.selection))


class TextEntry(BoardScreen):
    """Asks for one line of text and gives it to `keep`; one left empty, or left, is not kept."""

    BINDINGS = [Binding("escape", "leave", "leave it")]  # noqa: RUF012
    DEFAULT_CSS = """
    TextEntry { layers: page line; }
    TextEntry Board { layer: page; }
    TextEntry LineInput {
        layer: line; dock: top; margin: 0 4; height: 1; border: none; padding: 0;
        background: $background; color: $foreground;
        &:focus { border: none; }
    }
    """

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
        super().__init__(companion)
        self.earlier = earlier
        self.heading, self.asks, self.keep = title, asks, keep
        self.input = LineInput(most)

    def compose(self) -> ComposeResult:
        """Hold the page, and the line over it."""
        yield self.board
        yield self.input

    async def on_key(self, event: events.Key) -> None:
        """Let a key that the line has no use for go on to the bindings."""
        event.prevent_default()
        self.companion.heard()

    def on_input_changed(self) -> None:
        """Draw anew how much room is left."""
        self.companion.heard()
        self.redraw()

    def on_input_submitted(self) -> None:
        """Keep the line."""
        text = self.input.value.strip()
        self.app.pop_screen()
        if text:
            self.keep(text)

    def action_leave(self) -> None:
        """Go back; nothing is kept."""
        self.app.pop_screen()

    def touch(self, action: str) -> None:
        """Keep the line, or leave it."""
        if action == "enter":
            self.on_input_submitted()
        else:
            self.action_leave()

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
        x = 3
        for key, what, action in (("ENTER", "keep it", "enter"), ("ESC", "leave it", "escape")):
            end = canvas.text(canvas.text(x, height - 2, key, "key") + 1, height - 2, what)
            canvas.zone(x, height - 2, end - x, 1, action)
            x = end + 3
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
