"""Lots that wait for the sign-off of their sample, and of which the sample is to be made."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from bench.commission.pieces import GOOD, IN_HAND, CommissionPieces
from bench.documents.commission import Commission, Lot
from bench.pace.records import Variant


@dataclass(frozen=True, slots=True)
class Awaited:
    """Ids of lots: `unsigned` wait for a sign-off; of `to_make` a piece is to be the sample.

    Lots of one pattern, size and colourway need one sample together; where a piece is made that
    can be it, none is to be made.
    """

    unsigned: frozenset[str] = frozenset()
    to_make: frozenset[str] = frozenset()


def awaited_of(found: CommissionPieces, commission: Commission) -> Awaited:
    """Which lots of a commission wait for a sample; the one that is begun or due first makes it."""
    unsigned = [sample.lot for sample in found.samples if not sample.signed_off]
    by_kind: dict[Variant, list[Lot]] = {}
    for lot in unsigned:
        by_kind.setdefault(lot.kind, []).append(lot)
    changed = {sample.lot.kind for sample in found.samples if sample.former is not None}
    to_make = (
        _first(found, commission, lots, anew=kind in changed) for kind, lots in by_kind.items()
    )
    return Awaited(
        frozenset(lot.id or "" for lot in unsigned),
        frozenset(lot.id or "" for lot in to_make if lot is not None),
    )


def _first(
    found: CommissionPieces, commission: Commission, lots: list[Lot], *, anew: bool
) -> Lot | None:
    """Which of some lots of one kind makes the sample; None where it is made.

    anew: pieces that are made are none, for the pattern was changed since.
    """
    counts = {lot.name: found.counts(lot) for lot in lots}
    if not anew and any(counts[lot.name][status] for lot in lots for status in GOOD):
        return None
    in_hand = [lot for lot in lots if any(counts[lot.name][status] for status in IN_HAND)]
    left = in_hand or [lot for lot in lots if counts[lot.name]["planned"]]
    return min(left, key=lambda lot: commission.due_of(lot) or dt.date.max, default=None)
