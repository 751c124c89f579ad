"""The numbers of a lot's pieces, and how many are still to begin."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bench.documents.commission import Lot


@dataclass(frozen=True, slots=True)
class Settled:
    """Pieces of a lot that were made beyond a lowered count: `charged`, or finished `stock`."""

    charged: int = 0
    stock: int = 0

    def apart(self, good: int, pieces: int) -> int:
        """How many of so many good pieces do not count for a lot of `pieces`.

        Those that were charged never do; stock does again where the count is raised once more, or
        where a piece of it has gone elsewhere.
        """
        return self.charged + min(self.stock, max(0, good - self.charged - pieces))


def next_number(numbers: Iterable[int | None]) -> int:
    """The number for a lot's next piece, by the numbers of all that were ever begun.

    No number is given twice: it means one piece, also when that is given up.
    """
    return max((number or 0 for number in numbers), default=0) + 1


def to_make(lot: Lot, good: int, making: int) -> int:
    """Pieces of a lot that are not begun: seconds and given-up ones have to be made again."""
    return max(0, lot.pieces - good - making)
