"""How a look is answered by keys."""

from __future__ import annotations

from typing import Literal

from bench.documents.key_names import DIGITS
from bench.slips.looks import ANOTHER, MORE, THIS, Answer, Look
from bench.slips.planned_stand import MOST_COUNTED

BRAID_SAYS = {"1": "gap", "2": "proud", "3": "nothing"}
PIECE_SAYS = {"1": THIS, "2": ANOTHER}
SeenBead = str | Literal[False] | None
"""A bead's letter; None for nothing left, False for no bead."""


def answered(
    look: Look, typed: str, key: str, sign: str, bead: SeenBead, most: int
) -> tuple[Answer | Literal[False], str]:
    """The answer that is complete with a key, or False, and what is typed of it so far.

    bead is what the key stands for where beads are asked for, most the highest number that
    answers the look.
    """
    if look.kind == "braid":
        return BRAID_SAYS.get(sign, False), typed
    if look.kind == "piece":
        return PIECE_SAYS.get(sign, False), typed
    if look.kind == "next":
        return bead, typed
    if look.kind == "next3":
        typed += bead if isinstance(bead, str) else ""
        done = len(typed) == 3 or bead is None or key == "enter"
        return (typed if done else False), typed
    if look.kind == "read":
        typed += bead if isinstance(bead, str) else ""
        return (typed if bead is None or key == "enter" else False), typed
    if look.kind == "left" and sign in ("t", "m"):
        return (MOST_COUNTED if sign == "t" else MORE), typed
    if most > 9 and look.kind == "glance":
        typed += sign if sign in DIGITS and len(typed) < 2 else ""
        done = key == "enter" and int(typed) <= most
        return (int(typed) if done else False), typed
    return (int(sign) if sign in DIGITS and int(sign) <= most else False), typed


def most_of(look: Look, strands: int) -> int:
    """The highest number that answers a look."""
    return strands - 1 if look.kind == "glance" else MOST_COUNTED
