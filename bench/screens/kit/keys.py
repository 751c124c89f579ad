"""Keys and their names: which action a key has, and how it is called on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from bench.documents.actions import ACTIONS, BOARD_ACTIONS, LIST_ACTIONS, MODES
from bench.documents.key_names import sign_of
from bench.documents.settings import Settings

_ALL = ACTIONS | LIST_ACTIONS | BOARD_ACTIONS
_USUAL = {action: keys for action, (_, keys) in _ALL.items()}


def usual(action: str) -> str:
    """The usual key of an action, as it is written on the screen."""
    return sign_of(_USUAL[action][0])


class Keys:
    """The maker's keys. Letters count the same with and without capitals."""

    def __init__(self, settings: Settings) -> None:
        self._keys = {
            action: keys for mode in MODES for action, keys in settings.all_keys(mode).items()
        }
        self._at_the_bench = _by_key(settings, "the bench")
        self._at_the_board = _by_key(settings, "the board")

    def action(self, key: str) -> str | None:
        """The action of a key at the bench, as the terminal names it."""
        return self._at_the_bench.get(key.lower())

    def at_the_board(self, key: str) -> str | None:
        """The action of a key at the drawing board, as the terminal names it."""
        return self._at_the_board.get(key.lower())

    def knows(self, action: str) -> bool:
        """Whether this is an action, and not a key that no setting changes."""
        return action in self._keys

    def name(self, action: str) -> str:
        """The action's first key, as it is written on the screen; a fixed key is its own name."""
        return sign_of(self._keys[action][0]) if self.knows(action) else self.foot(action)

    def label(self, action: str) -> str:
        """What the action does."""
        return ACTIONS[action][0]

    def foot(self, label: str) -> str:
        """The usual names of keys in a foot, 'UP DOWN', as the maker's own keys are named."""
        signs = self.signs
        return " ".join(signs.get(word, word) for word in label.split(" "))

    @cached_property
    def signs(self) -> dict[str, str]:
        """The sign of each usual key of lists and pages, with that of the maker's own instead."""
        return {usual(action): self.name(action) for action in (*LIST_ACTIONS, *_BOTH)}

    def of_the_board(self, lines: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
        """Help of the board, whose keys are actions' ids or fixed keys, by the maker's keys."""
        return [
            (" ".join(self.name(w) if w in BOARD_ACTIONS else w for w in label.split(" ")), what)
            for label, what in lines
        ]


def _by_key(settings: Settings, mode: str) -> dict[str, str]:
    return {key: action for action, keys in settings.all_keys(mode).items() for key in keys}


_BOTH = ("help", "leave")
