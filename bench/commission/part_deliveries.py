"""What was handed over day by day, what is due for each part of it, and what of that is paid.

Discount and tax of a part are what they are more with it than without it, so that the parts add up
to the whole to the cent.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bench.commission.account import Account
from bench.commission.offer import totals
from bench.commission.pieces import CommissionPieces

Handed = tuple[str, str, int | None]
"""The day on which a piece was handed over, the id of its lot, its number."""
_NONE = Decimal(0)


@dataclass(frozen=True)
class HandedLine:
    """Pieces of a lot that were handed over on a day.

    `numbers`: their numbers, of those that have one. `charged`: as many as are due for the lot;
    what is handed over beyond that costs nothing.
    """

    lot: str
    name: str
    pieces: int
    numbers: tuple[int, ...]
    charged: int
    each: Decimal | None
    """None for a lot that has no price."""

    @property
    def price(self) -> Decimal:
        """For those that are charged."""
        return (self.each or _NONE) * self.charged


@dataclass(frozen=True)
class HandedOver:
    """What was handed over on a day, and what is due for it.

    `design`, `notions`: what was agreed beside the lots, due with the first part. `paid`: of what
    came in for the whole, what is left for this part once the earlier ones are paid.
    """

    day: str
    lines: tuple[HandedLine, ...]
    design: Decimal
    notions: Decimal
    discount: Decimal
    tax: Decimal
    due: Decimal
    paid: Decimal
    to_come: Decimal
    """What is due for all that was handed over on no day up to this one."""

    @property
    def to_pay(self) -> Decimal:
        """What is still to be paid for it."""
        return self.due - self.paid


def handed_over(found: CommissionPieces) -> tuple[Handed, ...]:
    """Each piece that was handed over, with its first day; it stays so while it is repaired."""
    kept = (piece for piece in found.pieces if piece.keeps_promise)
    days = ((piece.state.handed_over, piece) for piece in kept)
    return tuple((day, p.lot.id or "", p.state.number) for day, p in days if day is not None)


def parts_of(
    account: Account, handed: Iterable[Handed], names: Mapping[str, str]
) -> tuple[HandedOver, ...]:
    """The parts of an accepted order; none of one that is not accepted.

    names: of the lots, by their ids.
    """
    said, whole = account.acceptance, account.due
    if said is None or whole is None:
        return ()
    by_day: dict[str, dict[str, list[int | None]]] = {}
    for day, lot, number in handed:
        by_day.setdefault(day, {}).setdefault(lot, []).append(number)
    discount, tax = Decimal(said.said.discount_percent), Decimal(said.said.tax_percent)
    before = totals(_NONE, discount, tax, _NONE)
    left = {line.lot: line.pieces + line.charged for line in account.lines}
    each = {line.lot: line.each for line in account.lines}
    paid = max(_NONE, account.received)
    found: list[HandedOver] = []
    for day in sorted(by_day):
        lines = tuple(_lines(by_day[day], left, each, names))
        left = dict(Counter(left) - Counter({line.lot: line.charged for line in lines}))
        beside = (_NONE, _NONE) if found else account.besides
        lines_sum = sum((line.price for line in lines), before.lines + sum(beside, _NONE))
        now = totals(lines_sum, discount, tax, _NONE)
        due = now.gross - before.gross
        own = min(paid, due)
        paid -= own
        discounted, taxed = now.discount - before.discount, now.tax - before.tax
        to_come = whole.gross - now.gross
        found.append(HandedOver(day, lines, *beside, discounted, taxed, due, own, to_come))
        before = now
    return tuple(found)


def _lines(
    of_day: Mapping[str, Sequence[int | None]],
    left: Mapping[str, int],
    each: Mapping[str, Decimal],
    names: Mapping[str, str],
) -> Iterable[HandedLine]:
    for lot, numbers in of_day.items():
        known = tuple(sorted(number for number in numbers if number is not None))
        charged = min(len(numbers), left.get(lot, 0))
        yield HandedLine(lot, names.get(lot, lot), len(numbers), known, charged, each.get(lot))
