"""Numbers in words, as every sheet says them."""

from __future__ import annotations

from collections.abc import Sequence

from bench.answers.core import CoreStack


def duration(seconds: float) -> str:
    """Return hands-on time in hours and minutes, seconds only below two minutes."""
    if seconds < 119.5:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 100 else f"{minutes // 60} h {minutes % 60:02d}"


def count(number: int, one: str, many: str = "") -> str:
    """Return a number with its noun."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def variant(title: str, size: str | None, colourway: str | None) -> str:
    """Return a pattern's title with the size and colourway that were chosen."""
    chosen = [f"size {size}"] if size else []
    return ", ".join([title, *chosen, *([colourway] if colourway else [])])


def core_room(stack: CoreStack) -> str:
    """Return how long a core is, and in how much room where that is known."""
    if stack.room_mm is None:
        return f"{stack.length_mm:.1f} mm long, not known whether it fits"
    return f"{stack.length_mm:.1f} mm in {stack.room_mm:.1f} mm of room"


def numbered(steps: Sequence[str]) -> list[str]:
    """Return steps with their numbers."""
    return [f"{number}. {step}" for number, step in enumerate(steps, 1)]
