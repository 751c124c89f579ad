"""What `tubes` answers. Beads are counted, thread is in metres: `unit` says which."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class TubeLine(Part):
    """A tube or spool. `held` below zero: it is short by that much, and is to be counted anew.

    `error`: give or take, by the last count. `tells`: what has to be told of it, or nothing.
    """

    tube: str
    what: Literal["beads", "thread", "wire", "notion"]
    name: str
    size: str
    shape: str
    colour: str | None
    dye_lot: str
    number: str
    shop: str
    place: str
    price: str | None
    came_in: float
    held: float
    error: float
    unit: Literal["beads", "m", "pieces"]
    opened: bool
    empty: bool
    asked: bool
    """Only its price was asked; nothing came in."""
    tells: str


@dataclass(frozen=True, kw_only=True)
class TubesAnswer(Answer):
    """`tubes`: those that are kept, what this call did, and what a changed file offers."""

    tubes: tuple[TubeLine, ...]
    done: tuple[str, ...]
    offered: tuple[str, ...]
    waits: bool
