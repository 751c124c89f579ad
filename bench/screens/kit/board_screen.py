"""A screen with one board: keys and touches go to `press`, what is shown comes from `draw`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.screen import Screen

from bench.screens.kit.board import Board
from bench.screens.kit.canvas import Canvas

if TYPE_CHECKING:
    from bench.screens.kit.companion import Companion
    from bench.screens.kit.help_page import Lines


LEAST_WIDTH, LEAST_HEIGHT = 60, 20
"""What screens are made for at the least; a smaller terminal shows the upper left part of it."""


class BoardScreen(Screen[None]):
    """Subclasses act on a key in `press` and return the whole screen as a canvas in `draw`."""

    BLANK = True

    def __init__(self, companion: Companion) -> None:
        super().__init__()
        self.companion = companion
        self.board = Board()
        self.arrived = 0.0
        """When the key or touch came that is worked off, by the system's monotonic clock."""
        self.help = False
        """Whether the help lies over the screen."""

    def compose(self) -> ComposeResult:
        """Hold the board."""
        yield self.board

    def press(self, key: str, character: str | None) -> None:
        """Act on a key as the terminal names it, and the character that it types, if any."""
        raise NotImplementedError

    def draw(self, width: int, height: int) -> Canvas:
        """Return the screen for its present state."""
        raise NotImplementedError

    def help_lines(self) -> Lines:
        """The keys of what is up and what they do; none where there is no help."""
        return ()

    def named_help(self, lines: Lines) -> list[tuple[str, str]]:
        """Name the keys of the help as the maker has set them."""
        from bench.screens.kit.help_page import named

        return named(lines, self.companion.keys)

    def answers(self) -> Sequence[str]:
        """Keys that are answers here, so that none of them asks for help."""
        return ()

    def take(self, key: str, character: str | None) -> None:
        """Act on a key, unless it opens or closes the help."""
        asks = self.companion.is_ready and self._is_help(key)
        if self.help:
            self.help = False
        elif asks and self.help_lines():
            self.help = True
        else:
            self.press(key, character)

    def _is_help(self, key: str) -> bool:
        return self.companion.keys.action(key) == "help" and key.lower() not in self.answers()

    async def on_key(self, event: events.Key) -> None:
        """Read one key; draw once, after all of it has happened."""
        event.stop()
        if self.app.screen is not self:
            return  # left by the key before; a screen must not be left twice
        self.companion.heard()
        self.arrived = event.time
        self.take(event.key, event.character)
        self.redraw()

    def named(self, label: str) -> str:
        """Name the keys of a foot as the maker has set them."""
        return self.companion.named_keys(label)

    def on_click(self, event: events.Click) -> None:
        """Take a touch as the action of the zone that it hits."""
        if not self.companion.is_ready:
            self.companion.hear_later(lambda: self.on_click(event))
            return
        action = self.board.canvas.action_at(event.x, event.y)
        if action is not None and self.app.screen is self:
            self.companion.heard()
            self.arrived = event.time
            if self.help:
                self.help = False
            else:
                self.touch(action)
            self.redraw()

    def touch(self, action: str) -> None:
        """Act on a touched zone; by default its action is a key."""
        self.take(action, None)

    def interrupt(self) -> None:
        """Act on Ctrl+C: go back, as by the key that does."""
        self.app.simulate_key("escape")

    def told(self, said: str) -> None:
        """Take in what the screen that has gone leaves to be said."""

    def look_again(self) -> None:
        """Take in what has changed beside this screen, and show it."""
        self.redraw()

    def times_read(self) -> None:
        """The maker's times were read anew, or another fit of them was made."""
        self.look_again()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.redraw()

    def on_screen_resume(self) -> None:
        """Draw anew when another screen has gone."""
        self.look_again()

    def redraw(self) -> None:
        """Show what the screen is now, if it is still up."""
        if self.is_attached and self.size.width:
            width = max(self.size.width, LEAST_WIDTH)
            height = max(self.size.height, LEAST_HEIGHT)
            canvas = self._draw_help(width, height) if self.help else self.draw(width, height)
            self.board.show(self.companion.watch_over(canvas))

    def _draw_help(self, width: int, height: int) -> Canvas:
        from bench.screens.kit.help_page import draw_help
        from bench.screens.kit.view import View

        view = View(width, height, self.companion.keys)
        return draw_help(view, self.named_help(self.help_lines()))
