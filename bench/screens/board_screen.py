"""A screen with one board: keys and touches go to `press`, what is shown comes from `draw`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from .board import Board
from .canvas import Canvas

if TYPE_CHECKING:
    from .app import BenchApp


class BoardScreen(Screen[None]):
    """Subclasses act on a key in `press` and return the whole screen as a canvas in `draw`."""

    BLANK = True
    app: BenchApp
    mode = ""
    """The set of keys that the maker can set for this screen; none where it reads keys itself."""

    def __init__(self) -> None:
        super().__init__()
        self.board = Board()

    def compose(self) -> ComposeResult:
        """Hold the board."""
        yield self.board

    def press(self, key: str, character: str | None) -> None:
        """Act on a key as the terminal names it, and the character that it types, if any."""
        raise NotImplementedError

    def draw(self, width: int, height: int) -> Canvas:
        """Return the screen for its present state."""
        raise NotImplementedError

    async def on_key(self, event: events.Key) -> None:
        """Read one key; draw once, after all of it has happened."""
        event.stop()
        if self.app.screen is not self:
            return  # left by the key before; a screen must not be left twice
        key: str | None = event.key
        if self.mode:
            key = self.app.keys.usual(self.mode, event.key) if self.app.is_ready else None
        if key is not None:
            self.app.heard()
            self.press(key, event.character)
            self.redraw()

    def named(self, label: str) -> str:
        """Name the keys of a foot as the maker has set them."""
        return self.app.keys.foot(label) if self.app.is_ready else label

    def on_click(self, event: events.Click) -> None:
        """Take a touch as the action of the zone that it hits."""
        action = self.board.canvas.action_at(event.x, event.y)
        if action is not None and self.app.screen is self:
            self.app.heard()
            self.touch(action)
            self.redraw()

    def touch(self, action: str) -> None:
        """Act on a touched zone; by default its action is a key."""
        self.press(action, None)

    def told(self, said: str) -> None:
        """Take in what the screen that has gone leaves to be said."""

    def times_read(self) -> None:
        """The maker's times were read anew, or another fit of them was made."""
        self.redraw()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.redraw()

    def on_screen_resume(self) -> None:
        """Draw anew when another screen has gone."""
        self.redraw()

    def redraw(self) -> None:
        """Show what the screen is now, if it is still up."""
        if self.is_attached and self.size.width:
            canvas = self.draw(self.size.width, self.size.height)
            self.board.show(self.app.watch_over(canvas))
