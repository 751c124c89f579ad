"""Keys and their names: which action a key has, and how it is called on the screen."""

from __future__ import annotations

from bench.settings import ACTIONS, Settings

_SIGNS = {
    "exclamation_mark": "!",
    "question_mark": "?",
    "comma": ",",
    "full_stop": ".",
    "plus": "+",
    "minus": "-",
    "slash": "/",
    "asterisk": "*",
}


class Keys:
    """The maker's keys. Letters count the same with and without capitals."""

    def __init__(self, settings: Settings) -> None:
        self._keys = settings.all_keys()
        self._actions = {key: action for action, keys in self._keys.items() for key in keys}

    def action(self, key: str) -> str | None:
        """The action of a key, as the terminal names it."""
        return self._actions.get(key.lower())

    def name(self, action: str) -> str:
        """The action's first key, as it is written on the screen."""
        key = self._keys[action][0]
        return _SIGNS.get(key, key.replace("_", " ")).upper()

    def label(self, action: str) -> str:
        """What the action does."""
        return ACTIONS[action][0]
