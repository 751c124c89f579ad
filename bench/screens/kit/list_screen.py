"""A screen of lists and pages: its keys are Textual's bindings, set by the maker's settings.

Each key has an action; what it does is up to the mode that the screen is in.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from textual import events
from textual.binding import Binding
from textual.geometry import Size

from bench.documents.actions import ACTIONS, LIST_ACTIONS, MODES
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas

if TYPE_CHECKING:
    from bench.documents.settings import Settings
    from bench.screens.kit.help_page import Lines

FIXED_KEYS = {
    "back": "escape,backspace",
    "next_page": "tab",
    "home": "home",
    "end": "end",
    "page_up": "pageup",
    "page_down": "pagedown",
}
"""Keys that no setting changes, by what they do."""
MOVES = ("up", "down", "page_up", "page_down", "home", "end")
"""Actions that do no more than pick another line."""


def _either_case(keys: Iterable[str]) -> str:
    """Keys as Textual lists them; a letter counts the same as a capital."""
    return ",".join(form for key in keys for form in dict.fromkeys((key, _capital(key))))


def _capital(key: str) -> str:
    return key.upper() if len(key) == 1 else key


def bindings(mode: str, more: Mapping[str, str] = FIXED_KEYS) -> list[Binding]:
    """The bindings of a mode: each action of the settings with its id, and the fixed keys."""
    usual = ACTIONS | LIST_ACTIONS
    settable = [
        Binding(_either_case(usual[action][1]), f"act('{action}')", id=f"lists.{action}")
        for action in MODES[mode]
    ]
    return [*settable, *(Binding(keys, f"act('{action}')") for action, keys in more.items())]


def keymap(settings: Settings) -> dict[str, str]:
    """The maker's keys of lists and pages by the bindings' ids."""
    return {
        f"lists.{action}": _either_case(keys)
        for mode in ("the list", "the pages")
        for action, keys in settings.all_keys(mode).items()
    }


class ListMode(ABC):
    """What a list screen is in the middle of: its actions, its picture and its help."""

    help: Lines = ()
    said: str = ""
    picked: int = 0
    """The line that is picked, where there are lines."""

    @abstractmethod
    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for; size is that of the screen."""

    def touch(self, kind: str, which: str, size: Size) -> None:
        """Do what a touched part stands for: pick its line; on the picked line, open it."""
        if int(which) == self.picked:
            self.act("open", size)
        else:
            self.pick(int(which))

    def pick(self, line: int) -> None:
        """Pick a line."""
        self.picked = line

    def clear(self) -> None:
        """Take back what is said or asked: another key was pressed."""
        self.said = ""

    @abstractmethod
    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Return the picture; `named` names the keys of its foot as the maker has set them."""


class ListScreen(BoardScreen, inherit_bindings=False):
    """Gives each key's action to the mode that is up."""

    mode: ListMode

    async def on_key(self, event: events.Key) -> None:
        """Close the help with any key; else leave the key to its binding, if it has one."""
        event.prevent_default()
        if self.app.screen is not self:
            event.stop()  # left by the key before; a screen must not be left twice
            return
        if not (self.companion.is_ready or self._moves(event.key)):
            event.stop()
            again = events.Key(event.key, event.character)
            self.companion.hear_later(lambda: self.app.post_message(again))
            return
        self.companion.heard()
        if self.help:
            self.help = False
            event.stop()
        elif event.key in self.active_bindings:
            return  # its action draws
        else:
            self.mode.clear()
        self.redraw()

    def documents_changed(self) -> None:
        """Read anew what another program has changed."""

    def _moves(self, key: str) -> bool:
        """Whether a key moves in the list and does no more, so that nothing need be read for it."""
        found = self.active_bindings.get(key)
        moves = found is not None and found.binding.action in {f"act('{m}')" for m in MOVES}
        return moves and self.companion.knows_keys()

    def action_act(self, action: str) -> None:
        """Do what a key stands for, and draw once, after all of it."""
        if action == "help" and self.mode.help:
            self.mode.clear()
            self.help = True
        else:
            self.mode.act(action, self.size)
        self.redraw()

    def touch(self, action: str) -> None:
        """Do what a touched part stands for: a key's action, or a line, page or choice."""
        kind, _, which = action.partition(" ")
        if which:
            self.mode.touch(kind, which, self.size)
        else:
            self.action_act(kind)

    def help_lines(self) -> Lines:
        """The help of what is up."""
        return self.mode.help

    def draw(self, width: int, height: int) -> Canvas:
        """Draw what is up."""
        return self.mode.draw(width, height, self.named)
