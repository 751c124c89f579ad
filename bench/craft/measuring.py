"""Measured pieces: predictions shift towards what earlier pieces of a pattern really became.

Each figure is a prediction times a factor. For n measured pieces the factor is
exp(w · mean(ln(measured / predicted))) with w = n / (n + k): the mean of a normal prior round no
shift and n normal measurements, k being the variance of a piece over that of the prediction.
Rule of thumb for both: pieces of one pattern differ by 5 %, predictions of length, thickness and
weight miss by 15 % (the published 1 : 2 rule and the columns differ by up to so much), take-up by
20 % (published figures run from 1.25 to 1.7). So k is 0.11, or 0.06 for take-up, and one piece
moves a prediction nine tenths of the way.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from bench.craft.growth import Growth
from bench.craft.words import one_or_more

PIECE_SPREAD = 0.05
PREDICTION_DOUBT = 0.15
TAKE_UP_DOUBT = 0.20
MOST = 3.0
"""A measured figure more than so many times off its prediction is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Shift:
    """What measured pieces make of a prediction: a factor, and from how many pieces."""

    factor: float = 1.0
    pieces: int = 0

    @property
    def left(self) -> float:
        """The share of a prediction's own doubt, as a power, that the pieces leave."""
        return 1 - _trust(self.pieces, PREDICTION_DOUBT)

    def says(self, what: str) -> str:
        """The shift in words; empty without measured pieces."""
        if not self.pieces:
            return ""
        change = round((self.factor - 1) * 100)
        moved = "as predicted" if not change else f"{change:+d} %"
        return f"{what} {moved} from {one_or_more(self.pieces, 'piece')} measured"


@dataclass(frozen=True, slots=True)
class MeasuredPiece:
    """One measured piece beside what was predicted for it; None where nothing was measured.

    `take_up` is thread worked in over braid length, of one strand.
    """

    length: tuple[float, float] | None = None
    thickness: tuple[float, float] | None = None
    weight: tuple[float, float] | None = None
    take_up: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Corrections:
    """How the predictions of a pattern in one size are shifted by its measured pieces."""

    length: Shift = Shift()
    thickness: Shift = Shift()
    weight: Shift = Shift()
    take_up: Shift = Shift()

    @property
    def says_of_braid(self) -> tuple[str, ...]:
        """The shifts of length and thickness in words."""
        named = ((self.length, "length"), (self.thickness, "thickness"))
        return tuple(shift.says(what) for shift, what in named if shift.pieces)

    @property
    def says(self) -> tuple[str, ...]:
        """Every shift in words."""
        named = (
            (self.length, "length"),
            (self.thickness, "thickness"),
            (self.weight, "weight"),
            (self.take_up, "thread"),
        )
        return tuple(shift.says(what) for shift, what in named if shift.pieces)

    def apply(self, growth: Growth) -> Growth:
        """Return a growth with its length and thickness shifted; the lattice stays as it is.

        Both ends of its range are shifted as the middle is, each from its own place: the range
        narrows.
        """
        if not (self.length.pieces or self.thickness.pieces):
            return growth
        length = growth.length_range
        middle = self.length.factor * length.middle_mm
        low, high = (
            middle * (mm / length.middle_mm) ** self.length.left if mm else 0.0
            for mm in (length.low_mm, length.high_mm)
        )
        return replace(
            growth,
            after_mm=tuple(self.length.factor * mm for mm in growth.after_mm),
            length_range=replace(length, low_mm=low, high_mm=high),
            diameter_mm=self.thickness.factor * growth.diameter_mm,
            diameter_at_most=growth.diameter_at_most and not self.thickness.pieces,
        )


def shift(pairs: Iterable[tuple[float, float]], doubt: float = PREDICTION_DOUBT) -> Shift:
    """Work out a shift from (measured, predicted) pairs.

    A pair that is not above zero, or more than `MOST` times off, is left out.
    """
    logs = [
        math.log(measured / predicted)
        for measured, predicted in pairs
        if measured > 0 and predicted > 0 and 1 / MOST <= measured / predicted <= MOST
    ]
    if not logs:
        return Shift()
    trust = _trust(len(logs), doubt)
    return Shift(math.exp(trust * math.fsum(logs) / len(logs)), len(logs))


def _trust(pieces: int, doubt: float) -> float:
    """How far so many pieces move a prediction of that doubt, of the whole way."""
    return pieces / (pieces + (PIECE_SPREAD / doubt) ** 2)


def corrections(pieces: Sequence[MeasuredPiece]) -> Corrections:
    """Work out how the predictions of a pattern shift by its measured pieces."""
    return Corrections(
        shift(p.length for p in pieces if p.length is not None),
        shift(p.thickness for p in pieces if p.thickness is not None),
        shift(p.weight for p in pieces if p.weight is not None),
        shift((p.take_up for p in pieces if p.take_up is not None), TAKE_UP_DOUBT),
    )


def take_up_of(cut_mm: float, left_mm: float, length_mm: float) -> float | None:
    """Thread worked in over braid length, from one strand: cut, left beyond the braid's end.

    None if that makes no sense: nothing was worked in, or less than the braid is long.
    """
    if not 0 < length_mm <= cut_mm - left_mm:
        return None
    return (cut_mm - left_mm) / length_mm
