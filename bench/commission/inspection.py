"""Finished pieces against the sample: what differs by more than the tolerance, and how often."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bench.craft.text import Fault, cleaned
from bench.documents.settings import ShopSettings
from bench.journal.piece_state import PieceState

Z_80 = 1.2815515655446004
"""The normal quantile at 0.9: between minus and plus it lie 8 in 10."""
LEAST_FOR_SCATTER = 5


@dataclass(frozen=True, slots=True)
class Measures:
    """What a piece measured; None where it was not."""

    length_mm: float | None = None
    thickness_mm: float | None = None
    weight_g: float | None = None


@dataclass(frozen=True, slots=True)
class Deviation:
    """A measure against the sample's: by how much it is off, and how much is allowed.

    `scatter`: the standard deviation of the maker's own good pieces; None for fewer than five.
    """

    what: str
    off: float
    allowed: float
    unit: str
    scatter: float | None = None

    @property
    def is_off(self) -> bool:
        """Whether it is off by more than is allowed."""
        return abs(self.off) > self.allowed + 1e-9

    @property
    def held(self) -> str:
        """What it is held to: the tolerance, and beside it the maker's own scatter."""
        digits = 2 if self.unit == "g" else 1
        own = "" if self.scatter is None else f", yours scatter by {self.scatter:.{digits}f}"
        return f"±{self.allowed:.{digits}f} allowed{own}"

    @property
    def says(self) -> str:
        """The deviation in a few words."""
        digits = 2 if self.unit == "g" else 1
        return f"{self.what} {self.off:+.{digits}f} {self.unit} ({self.held})"


@dataclass(frozen=True, slots=True)
class Share:
    """How many of all had a reason, and between which shares that holds 8 in 10 times."""

    reason: str
    count: int
    of: int
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Outcomes:
    """How many of the maker's pieces came out good, and how many as seconds or spoilt."""

    good: int
    spoilt: int


def outcomes_of(states: Iterable[PieceState]) -> Outcomes:
    """Count how finished pieces came out, those only tried out or never begun left out."""
    ended = [s.status for s in states if not (s.open or s.trial or (s.blank and not s.inspected))]
    good = ended.count("good")
    return Outcomes(good, len(ended) - good)


def judged(
    piece: Measures, sample: Measures, shop: ShopSettings, own: Measures
) -> tuple[Deviation, ...]:
    """Each measure that piece and sample have, against the tolerance. `own`: scatters."""
    percents = {"length": shop.length_percent, "weight": shop.weight_percent}
    found = []
    for what, key, unit in (
        ("length", "length_mm", "mm"),
        ("thickness", "thickness_mm", "mm"),
        ("weight", "weight_g", "g"),
    ):
        measured, wanted = getattr(piece, key), getattr(sample, key)
        if measured is not None and wanted is not None:
            percent = percents.get(what)
            allowed = shop.thickness_mm if percent is None else wanted * percent / 100
            found.append(Deviation(what, measured - wanted, allowed, unit, getattr(own, key)))
    return tuple(found)


def deviations(
    piece: Measures, sample: Measures, shop: ShopSettings, own: Measures
) -> tuple[Deviation, ...]:
    """What of a piece is off its sample by more than the tolerance."""
    return tuple(one for one in judged(piece, sample, shop, own) if one.is_off)


def scatter(values: Iterable[float | None]) -> float | None:
    """The standard deviation of the maker's own good pieces, once there are enough of them."""
    known = [value for value in values if value is not None]
    return statistics.stdev(known) if len(known) >= LEAST_FOR_SCATTER else None


def scatters(pieces: Sequence[Measures]) -> Measures:
    """The scatter of each measure of some good pieces; None of one that too few have."""
    return Measures(
        scatter(piece.length_mm for piece in pieces),
        scatter(piece.thickness_mm for piece in pieces),
        scatter(piece.weight_g for piece in pieces),
    )


def shares(reasons: Sequence[str], of: int) -> tuple[Share, ...]:
    """How often each reason occurred among so many pieces, the most frequent first."""
    counts: dict[str, int] = {}
    for reason in reasons:
        counts[reason] = counts.get(reason, 0) + 1
    order = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    return tuple(Share(reason, count, of, *wilson(count, of)) for reason, count in order)


def failed_words(looks: Iterable[str]) -> str:
    """The looks that a piece failed, in a sentence; "" for none."""
    named = ", ".join(f"“{look}”" for look in looks)
    return f"failed {named}" if named else ""


def looks_of_list(said: Iterable[str], known: Sequence[str]) -> tuple[str, ...]:
    """Looks of the maker's list by their names. Raises Fault for one that is not on it."""
    found = tuple(dict.fromkeys(said))
    for look in found:
        if look not in known:
            raise Fault(
                f"there is no look '{cleaned(look, 40)}'; there are: {', '.join(known)}"
                " (a list in the settings, `shop.looks`)"
            )
    return found


def wilson(count: int, of: int, z: float = Z_80) -> tuple[float, float]:
    """Between which shares a chance lies that gave `count` of `of`: the score interval.

    Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927), 209-212.
    """
    if of == 0:
        return 0.0, 1.0
    share, more = count / of, z * z / of
    middle = (share + more / 2) / (1 + more)
    half = z / (1 + more) * math.sqrt(share * (1 - share) / of + more / (4 * of))
    return max(0.0, middle - half), min(1.0, middle + half)
