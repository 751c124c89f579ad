"""How long a rope is by now, and how much is to come, in millimetres."""

from __future__ import annotations

from bench.craft.growth import Growth
from bench.making.braid import Braid


def is_rope(braid: Braid) -> bool:
    """Whether a piece is so long that it halts on the way."""
    return any(mark.is_halt for mark in braid.marks)


def length_words(braid: Braid, growth: Growth | None, made: int) -> str:
    """How long a rope is predicted to be once so many crosses are made: 'about 409 mm, …'.

    Empty for a short piece, and where its growth is not known.
    """
    if growth is None or not is_rope(braid) or made > growth.crosses:
        return ""
    so_far = growth.after_mm[made]
    return f"braid about {so_far:,.0f} mm, {growth.length_mm - so_far:,.0f} to come"
