"""What a page is drawn for: its size, the maker's keys, and what is said on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bench.screens.kit.deeds import FootKey
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
    colours: bool = False
    """Whether the terminal shows colours."""
    signs: Mapping[str, str] = field(default_factory=dict)
    """What the maker wants to see large in place of a bead's letter, by letter."""
    foot: tuple[FootKey, ...] = ()
    """The keys at the foot of a page of the bench."""
    per_row: bool = False
    """Whether a press counts a whole row, so that all its crosses are shown."""
