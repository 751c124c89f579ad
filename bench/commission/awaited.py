"""Lots that wait for the sign-off of their sample, and of which the sample is to be made."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from bench.commission.pieces import GOOD, CommissionPieces, could_be_sample
from bench.documents.commission import Commission, Lot
from bench.pace.records import Variant


@dataclass(frozen=True, slots=True)
class Awaited:
    """Ids of lots: `unsigned` wait for a sign-off; of `to_make` a piece is to be the sample.

    Lots of one pattern, size and colourway need one sample together; where a piece is made that
    can be it, none is to be made. `to_begin`: of those the sample is not begun either.
    """

    unsigned: frozenset[str] = frozenset()
    to_make: frozenset[str] = frozenset()
    to_begin: frozenset[str] = frozenset()


def awaited_of(found: CommissionPieces, commission: Commission) -> Awaited:
    """Which lots of a commission wait for a sample; the one that is begun or due first makes it."""
    unsigned = [sample.lot for sample in found.samples if not sample.signed_off]
    by_kind: dict[Variant, list[Lot]] = {}
    for lot in unsigned:
        by_kind.setdefault(lot.kind, []).append(lot)
    to_make, to_begin = set[str](), set[str]()
    for lots in by_kind.values():
        begun = [piece for lot in lots for piece in could_be_sample(found, lot)]
        if any(piece.status in GOOD for piece in begun):
            continue
        if begun:
            to_make.add(begun[0].lot.id or "")
            continue
        left = [lot for lot in lots if found.counts(lot)["planned"]]
        first = min(left, key=lambda lot: commission.due_of(lot) or dt.date.max, default=None)
        if first is not None:
            to_begin.add(first.id or "")
    return Awaited(
        frozenset(lot.id or "" for lot in unsigned),
        frozenset(to_make | to_begin),
        frozenset(to_begin),
    )
