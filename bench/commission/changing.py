"""Changes of a commission as data: each gives a whole new commission, checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from bench.commission.identity import new_lot_id
from bench.commission.lot_number import Settled
from bench.craft.text import Fault
from bench.documents.commission import Commission, Lot
from bench.documents.reading import sentence_of

_KIND = ("pattern", "size", "colourway")
"""A lot whose pieces become others is no longer made like the piece that it was begun from."""


@dataclass(frozen=True)
class Excess:
    """A lot of which more pieces are made than its lowered count, and nothing is settled."""

    lot: Lot
    made: int
    more: int


def with_values(commission: Commission, **values: Any) -> Commission:
    """Return a commission with some of its own keys changed. Raises Fault for a wrong value."""
    return _checked(commission.model_dump() | values)


def with_terms(commission: Commission, values: Mapping[str, Any]) -> Commission:
    """Return a commission with some of its terms changed. Raises Fault for a wrong value."""
    return with_values(commission, terms={**commission.terms.model_dump(), **values})


def with_lot(commission: Commission, name: str, values: Mapping[str, Any]) -> Commission:
    """Return a commission with a lot changed, or added where there is none of that name.

    Raises Fault for a wrong value, and for a new lot without pattern or pieces.
    """
    lots = [lot.model_dump() for lot in commission.lots]
    at = _place(commission, name)
    if at is None:
        for key in ("pattern", "pieces"):
            if values.get(key) is None:
                raise Fault(f"'{name}' is a new lot: say its {key} too")
        lots.append({"id": new_lot_id(), "name": name, **values})
    else:
        lots[at] |= values
        if any(lots[at][key] != getattr(commission.lots[at], key) for key in _KIND):
            lots[at]["like"] = None
    return with_values(commission, lots=lots)


def without_lot(commission: Commission, name: str) -> Commission:
    """Return a commission without a lot. Raises Fault for an unknown one, and for the last."""
    gone = commission.lot(name)
    rest = [lot.model_dump() for lot in commission.lots if lot is not gone]
    if not rest:
        raise Fault(f"'{gone.name}' is the only lot; a commission has at least one")
    return with_values(commission, lots=rest)


def moved_before(commission: Commission, name: str, other: str | None) -> Commission:
    """Return a commission in which a lot is made just before another one, or last."""
    moved = commission.lot(name)
    if other is not None and commission.lot(other) is moved:
        return commission
    rest = [lot for lot in commission.lots if lot is not moved]
    at = len(rest) if other is None else rest.index(commission.lot(other))
    lots = [*rest[:at], moved, *rest[at:]]
    return with_values(commission, lots=[lot.model_dump() for lot in lots])


def excess(
    old: Commission,
    new: Commission,
    made: Mapping[str, int],
    settled: Mapping[str, Settled],
    settled_then: Mapping[str, Settled],
) -> tuple[Excess, ...]:
    """The lots whose count is lowered below what is made of them, or that are taken out.

    `made`: good pieces by the lot's id; `settled`: what became of some earlier, `settled_then`:
    with the counts of `new`, where another bench has settled some as it lowered them. Spare ones,
    beyond the old count too, stay spare.
    """
    after = {lot.id: lot for lot in new.lots}
    found = []
    for lot in old.lots:
        assert lot.id is not None
        count = after[lot.id].pieces if lot.id in after else 0
        before, then = (by.get(lot.id, Settled()).pieces for by in (settled, settled_then))
        good = counted(lot, made, settled) - max(0, then - before)
        if count < good:
            found.append(Excess(after.get(lot.id, lot), made[lot.id], good - count))
    return tuple(found)


def counted(lot: Lot, made: Mapping[str, int], settled: Mapping[str, Settled]) -> int:
    """How many good pieces count for a lot: none that is spare, and none that is settled."""
    good = made.get(lot.id or "", 0)
    earlier = settled.get(lot.id or "", Settled())
    return min(good - earlier.apart(good, lot.pieces), lot.pieces)


def _place(commission: Commission, name: str) -> int | None:
    named = (at for at, lot in enumerate(commission.lots) if name in (lot.name, lot.id))
    return next(named, None)


def _checked(values: Mapping[str, Any]) -> Commission:
    try:
        return Commission.model_validate(values)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = [str(part) for part in first["loc"] if isinstance(part, str)]
        said = sentence_of(first)
        raise Fault(f"{where[-1].replace('_', ' ')}: {said}" if where else said) from None
