"""The numbers of a lot's pieces."""

from __future__ import annotations

from collections.abc import Iterable


def next_number(numbers: Iterable[int | None]) -> int:
    """The number for a lot's next piece, by the numbers of all that were ever begun.

    No number is given twice: it means one piece, also when that is given up.
    """
    return max((number or 0 for number in numbers), default=0) + 1
