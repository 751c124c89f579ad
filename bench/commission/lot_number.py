"""The numbers of a lot's pieces, and how many are still to begin."""

from __future__ import annotations

from collections.abc import Iterable

from bench.documents.commission import Lot


def next_number(numbers: Iterable[int | None]) -> int:
    """The number for a lot's next piece, by the numbers of all that were ever begun.

    No number is given twice: it means one piece, also when that is given up.
    """
    return max((number or 0 for number in numbers), default=0) + 1


def to_make(lot: Lot, good: int, making: int) -> int:
    """Pieces of a lot that are not begun: seconds and given-up ones have to be made again."""
    return max(0, lot.pieces - good - making)
