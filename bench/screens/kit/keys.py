"""Keys and their names: which action a key has, and how it is called on the screen."""

from __future__ import annotations

from bench.documents.actions import ACTIONS, LIST_ACTIONS, MODES
from bench.documents.key_names import sign_of
from bench.documents.settings import Settings

_USUAL = {action: keys for action, (_, keys) in (ACTIONS | LIST_ACTIONS).items()}


class Keys:
    """The maker's keys. Letters count the same with and without capitals."""

    def __init__(self, settings: Settings) -> None:
        self._keys = {
            action: keys for mode in MODES for action, keys in settings.all_keys(mode).items()
        }
        self._at_the_bench = {
            key: action for action, keys in settings.all_keys().items() for key in keys
        }

    def action(self, key: str) -> str | None:
        """The action of a key at the bench, as the terminal names it."""
        return self._at_the_bench.get(key.lower())

    def name(self, action: str) -> str:
        """The action's first key, as it is written on the screen."""
        return sign_of(self._keys[action][0])

    def label(self, action: str) -> str:
        """What the action does."""
        return ACTIONS[action][0]

    def foot(self, label: str) -> str:
        """The usual names of keys in a foot, 'UP DOWN', as the maker's own keys are named."""
        signs = self.signs
        return " ".join(signs.get(word, word) for word in label.split(" "))

    @property
    def signs(self) -> dict[str, str]:
        """The sign of each usual key of lists and pages, with that of the maker's own instead."""
        return {sign_of(_USUAL[a][0]): self.name(a) for a in (*LIST_ACTIONS, *_BOTH)}


_BOTH = ("help", "leave")
