"""What all pieces of a pattern in one size and colourway came to: time, endings, practice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from bench.journal.piece_times import PieceTimes
from bench.pace.records import PieceRecord

FEW = 3
"""Pieces at either end that are compared to tell what practice has brought; no source."""


@dataclass(frozen=True)
class VariantSummary:
    """Counts and seconds of pieces that ended; trials are counted apart and add to nothing.

    spent_s: hands-on with rework, as far as it is known, of all of them. timed: pieces whose
    whole time is known; median_s, fastest_s, slowest_s: theirs, rework included. first_s,
    latest_s: the middle of the first and of the last `few` of them, None where there are too few.
    whole_only: whether nothing but whole times is known, no rows and no stages.
    """

    good: int = 0
    seconds: int = 0
    given_up: int = 0
    trials: int = 0
    spent_s: float = 0.0
    timed: int = 0
    median_s: float | None = None
    fastest_s: float | None = None
    slowest_s: float | None = None
    few: int = 0
    first_s: float | None = None
    latest_s: float | None = None
    whole_only: bool = False

    @property
    def pieces(self) -> int:
        """All of them but trials."""
        return self.good + self.seconds + self.given_up


def summary_of(pieces: Sequence[PieceTimes], records: Sequence[PieceRecord]) -> VariantSummary:
    """Sum up the pieces of a variant and what is known of their times, in the order begun."""
    counted = [times for times in pieces if not times.trial]
    whole = [
        record.total_s
        for record in sorted(records, key=lambda record: record.day or 0.0)
        if record.outcome != "given_up" and record.total_s is not None
    ]
    few = min(FEW, len(whole) // 2)
    return VariantSummary(
        good=sum(times.status == "good" for times in counted),
        seconds=sum(times.status == "second" for times in counted),
        given_up=sum(times.status == "given up" for times in counted),
        trials=len(pieces) - len(counted),
        spent_s=sum(times.spent_s for times in counted if not times.too_fast),
        timed=len(whole),
        median_s=median(whole) if whole else None,
        fastest_s=min(whole, default=None),
        slowest_s=max(whole, default=None),
        few=few,
        first_s=median(whole[:few]) if few else None,
        latest_s=median(whole[-few:]) if few else None,
        whole_only=bool(whole) and not any(record.stages for record in records),
    )
