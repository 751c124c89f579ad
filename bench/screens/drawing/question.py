"""A line that a mode of the board asks for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Question:
    """What is asked, and what stands there already.

    `look` says what is wrong with a text, "" if nothing is, and `where` at which sign, from 0;
    `keep` takes one with which nothing is. The next sign typed takes the place of `value`, or goes
    on from it where the maker has `begun` to type.
    """

    asks: str
    look: Callable[[str], str]
    keep: Callable[[str], None]
    value: str = ""
    where: Callable[[str], int | None] = lambda text: None
    begun: bool = False
