"""Words and numbers in documents: what is allowed in them, and faults that name their key."""

from __future__ import annotations

import re
import unicodedata

MAX_TEXT = 300
NAME = "^[a-z0-9][a-z0-9-]{0,39}$"
"""What files and the parts of a document are named by."""


class Fault(ValueError):
    """A mistake in a document: one sentence, and the key below which it lies."""

    def __init__(self, message: str, *key: str | int) -> None:
        super().__init__(message)
        self.key = key


def is_name(text: str) -> bool:
    """Whether a file or a part of a document can have this name."""
    return re.fullmatch(NAME, text) is not None


def check_name(text: str, of: str) -> None:
    """Raise Fault unless this can be a name; `of`: whose, as "a pattern's"."""
    if not is_name(text):
        raise Fault(
            f"{of} name is made of small letters, digits and hyphens; found '{cleaned(text, 40)}'"
        )


def is_plain(text: str) -> bool:
    """Whether the text holds no control, direction-changing or unassigned characters."""
    if text.isascii():
        return text.isprintable()
    return all(unicodedata.category(ch) not in {"Cc", "Cf", "Cs", "Co", "Cn"} for ch in text)


def plain(text: str) -> str:
    """Return the text unchanged if it is one plain line.

    Raises Fault if it holds control characters, line breaks included, or is too long.
    """
    if len(text) > MAX_TEXT:
        raise Fault(f"the text is {len(text)} characters long; at most {MAX_TEXT} are allowed")
    for ch in text:
        if not is_plain(ch):
            raise Fault(
                f"the text holds the control character U+{ord(ch):04X}; take it out"
                " (texts are one plain line)"
            )
    return text


def cleaned(text: str, limit: int = MAX_TEXT) -> str:
    """Return the text with everything that is not plain replaced, for showing what was found."""
    shown = "".join(ch if is_plain(ch) else "�" for ch in text[: limit + 1])
    return shown if len(shown) <= limit else shown[: limit - 1] + "…"
