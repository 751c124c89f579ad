"""The numbers of a lot's pieces, and how many are still to begin."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import count

from bench.documents.commission import Lot


@dataclass(frozen=True, slots=True)
class Settled:
    """Pieces of a lot that were made beyond a lowered count: `charged`, or finished `stock`.

    `is_off`: the order is cancelled, so that the lot has no piece but those.
    """

    charged: int = 0
    stock: int = 0
    is_off: bool = False

    def promised(self, pieces: int) -> int:
        """How many pieces a lot of so many has with those that were charged beyond its count."""
        return self.count(pieces) + self.charged

    @property
    def pieces(self) -> int:
        """So many of either kind."""
        return self.charged + self.stock

    def count(self, pieces: int) -> int:
        """How many pieces a lot of so many still has."""
        return 0 if self.is_off else pieces

    def apart(self, good: int, pieces: int) -> int:
        """How many of so many good pieces do not count for a lot of `pieces`.

        Those that were charged never do; stock does again where a piece has gone elsewhere.
        """
        return self.charged + min(self.stock, max(0, good - self.promised(pieces)))

    def after(self, raised: int) -> Settled:
        """What is settled once the count is raised by so many: they count for the lot again.

        First those that were charged: the customer pays for no piece twice.
        """
        charged = min(self.charged, max(0, raised))
        stock = min(self.stock, max(0, raised) - charged)
        return Settled(self.charged - charged, self.stock - stock)

    def besides(self, charged: int, stock: int) -> Settled:
        """What is settled with so many more."""
        return Settled(self.charged + charged, self.stock + stock)


def next_number(numbers: Iterable[int | None]) -> int:
    """The number for a lot's next piece, by those that all were given that were ever begun.

    No number is given twice: it means one piece, also when that is given up. Where two benches gave
    one each to a piece of theirs, the next one lies beyond those that they have by now.
    """
    given = {str(place): number for place, number in enumerate(numbers)}
    return max((number or 0 for number in numbers_apart(given).values()), default=0) + 1


def numbers_apart(
    given: Mapping[str, int | None], left: Iterable[int | None] = ()
) -> Mapping[str, int | None]:
    """The numbers of a lot's pieces, by their ids, of which no two are alike.

    Two benches that know nothing of each other give one number to two pieces: that of the lesser id
    keeps it, the other has the next that none was given. `left`: those that pieces were given that
    have left the lot.
    """
    taken = {number for number in (*given.values(), *left) if number is not None}
    held = {number for number in left if number is not None}
    found: dict[str, int | None] = {}
    for number, piece in sorted((number or 0, piece) for piece, number in given.items()):
        own = number or None
        if own in held:
            own = next(free for free in count(number + 1) if free not in taken)
            taken.add(own)
        held |= {own} if own else set()
        found[piece] = own
    return found


def to_make(lot: Lot, settled: Settled, good: int, making: int) -> int:
    """Pieces of a lot that are not begun: seconds and given-up ones have to be made again."""
    return max(0, settled.promised(lot.pieces) - good - making)
