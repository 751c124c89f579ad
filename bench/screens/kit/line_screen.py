"""A screen on which one line is typed or pasted by Textual's own input."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.widgets import Input

from bench.craft.text import is_plain
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.companion import Companion


def one_line(text: str) -> str:
    """A text on one line: breaks and tabs become blanks, what else cannot be shown is left out."""
    return "".join(ch for ch in " ".join(text.split()) if is_plain(ch))


class LineInput(Input):
    """Textual's input; a paste keeps all its lines, as one, and as much as there is room for."""

    DEFAULT_CSS = """
    LineInput {
        layer: line; dock: top; height: 1; border: none; padding: 0;
        background: $background; color: $foreground;
        &:focus { border: none; }
    }
    """

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


class LineScreen(BoardScreen):
    """Holds a line over its page; Enter takes it, Escape leaves it."""

    BINDINGS = [Binding("escape", "leave", "leave it")]
    DEFAULT_CSS = """
    LineScreen { layers: page line; }
    LineScreen Board { layer: page; }
    LineScreen LineInput { margin: 0 4; }
    """

    def __init__(self, companion: Companion, most: int) -> None:
        """Take at most so many characters."""
        super().__init__(companion)
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
        """Draw anew what goes by the line."""
        self.companion.heard()
        self.look_at_line()
        self.redraw()

    def on_input_submitted(self) -> None:
        """Take the line, unless an Enter just before took it."""
        if self.is_current:
            self.take_line()

    def look_at_line(self) -> None:
        """Take in what is typed so far."""

    def take_line(self) -> None:
        """Do what the line is for."""
        raise NotImplementedError

    def action_leave(self) -> None:
        """Go back; nothing is taken."""
        if self.is_current:
            self.app.pop_screen()

    def touch(self, action: str) -> None:
        """Take the line, or leave it."""
        if action == "enter":
            self.on_input_submitted()
        else:
            self.action_leave()

    def draw_keys(self, canvas: Canvas, x: int, y: int, take: str) -> None:
        """Draw the two keys, which can be touched."""
        for key, what, action in (("ENTER", take, "enter"), ("ESC", "leave it", "escape")):
            end = canvas.text(canvas.text(x, y, key, "key") + 1, y, what)
            canvas.zone(x, y, end - x, 1, action)
            x = end + 3
