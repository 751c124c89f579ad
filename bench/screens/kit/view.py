"""What a page is drawn for: its size, the maker's keys, and what is said on it."""

from __future__ import annotations

from dataclasses import dataclass

from bench.screens.kit.keys import Keys


@dataclass(frozen=True)
class View:
    """The size of a page in cells, the keys, and the texts that stand beside the piece itself."""

    width: int
    height: int
    keys: Keys
    hands_on: str = ""
    ready: str = ""
    done: str = ""
    said: str = ""
    banner: str = ""
