"""The names of keys as the settings and the screens use them, and which keys never arrive."""

from __future__ import annotations

import string
import unicodedata

NAMED = (
    *("space", "enter", "tab", "escape", "backspace", "delete", "insert", "home", "end"),
    *("pageup", "pagedown", "up", "down", "left", "right"),
    *(f"f{number}" for number in range(1, 25)),
)
DIGITS = frozenset(string.digits)
"""The keys of numbers; other signs count as digits for Python, and are none for `int`."""
_SHORT = {
    "solidus": "slash",
    "reverse_solidus": "backslash",
    "commercial_at": "at",
    "hyphen_minus": "minus",
    "plus_sign": "plus",
    "low_line": "underscore",
}


def _sign_name(ch: str) -> str:
    name = unicodedata.name(ch).lower().replace("-", "_").replace(" ", "_")
    return _SHORT.get(name, name)


SIGNS = {_sign_name(ch): ch for ch in string.punctuation}
"""Signs by their key's name: 'exclamation_mark' is '!'."""
_NEVER = {
    "ctrl+i": "the terminal sends it as tab",
    "ctrl+m": "the terminal sends it as enter",
    "ctrl+h": "the terminal sends it as backspace",
    "ctrl+q": "it closes the program",
    "ctrl+c": "it leaves, as the key that leaves does",
    "ctrl+z": "it puts the program to sleep",
}
_WITH = ("ctrl", "alt", "shift", "super", "hyper", "meta")


def sign_of(key: str) -> str:
    """The key as it is written on a screen: its sign if it has one, else its name in capitals."""
    held, _, last = key.rpartition("+")
    shown = SIGNS.get(last) or last.replace("_", " ").upper()
    return f"{held.upper()}+{shown}" if held else shown


def why_not(key: str) -> str | None:
    """Why a key of this name cannot be used, in one sentence; None if it can."""
    if key in _NEVER:
        return f"key '{key}' never arrives ({_NEVER[key]}); take another one"
    if key != key.lower():
        return f"key '{key}' is written '{key.lower()}'; capitals count as the same key"
    *held, last = key.split("+")
    if all(part in _WITH for part in held):
        if len(last) == 1 and last.isalnum():
            if held != ["shift"]:
                return None
            return f"key '{key}' counts as '{last}', since capitals count as the same key"
        if last in NAMED or last in SIGNS:
            return None
    import difflib

    alike = difflib.get_close_matches(last, (*NAMED, *SIGNS), n=1, cutoff=0.5)
    guess = f"; did you mean '{alike[0]}'" if alike else ""
    return f"there is no key '{key}'{guess} (keys are named as space, f, f13 or exclamation_mark)"
