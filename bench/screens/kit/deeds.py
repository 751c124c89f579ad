"""What the keys of a mode do: of each its deed, its line in the help and its word at the foot."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FootKey:
    """An action, or a key as a foot writes it, at the foot of a page.

    `word`: what it does, `short`: on a narrow page; "" as usual.
    """

    action: str
    word: str = ""
    short: str = ""


HELP_KEY = FootKey("help")


@dataclass(frozen=True, slots=True)
class Deed:
    """What one key does in a mode.

    `key`: an action by its id, or keys as a foot writes them. `help`: what the help says of it.
    `foot`: its word at the foot, "" the usual one, None where it does not stand there. `do`: None
    where the mode itself reads the key.
    """

    key: str
    help: str
    foot: str | None = None
    do: Callable[[], object] | None = None
    short: str = ""
    """Its word at the foot of a narrow page."""


def do(deeds: Iterable[Deed], key: str) -> bool:
    """Do what a key is for; return whether it is for anything."""
    found = next((deed.do for deed in deeds if deed.key == key and deed.do is not None), None)
    if found is not None:
        found()
    return found is not None


def foot_of(deeds: Iterable[Deed]) -> tuple[FootKey, ...]:
    """The keys at the foot, in order; the help stands before the last."""
    keys = [FootKey(d.key, d.foot, d.short) for d in deeds if d.foot is not None]
    return (*keys[:-1], HELP_KEY, *keys[-1:])
