"""The maker's own times of one pattern, without any model."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from bench.pace.records import PieceRecord

SPREAD_FROM = 3
"""Pieces from which a spread is worth showing."""


@dataclass(frozen=True)
class OwnTimes:
    """Hands-on seconds of the finished pieces of one pattern."""

    pieces: int
    median_s: float | None
    """None before the first finished piece."""
    fastest_s: float | None
    """With `slowest_s` the spread, from three pieces on; None before."""
    slowest_s: float | None


NONE_MADE = OwnTimes(0, None, None, None)


def by_pattern(records: Iterable[PieceRecord]) -> dict[str, list[PieceRecord]]:
    """Sort pieces by their pattern, each pattern's in the order given."""
    found: dict[str, list[PieceRecord]] = {}
    for record in records:
        found.setdefault(record.pattern, []).append(record)
    return found


def own_times(records: Sequence[PieceRecord], pattern: str) -> OwnTimes:
    """Sum up the finished pieces of a pattern; given-up and half-timed pieces stay out."""
    whole = [
        record.total_s
        for record in records
        if record.pattern == pattern and record.outcome != "given_up"
    ]
    seconds = [s for s in whole if s is not None]
    if not seconds:
        return NONE_MADE
    if len(seconds) < SPREAD_FROM:
        return OwnTimes(len(seconds), median(seconds), None, None)
    return OwnTimes(len(seconds), median(seconds), min(seconds), max(seconds))
