"""What `pace` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class SecondsInterval(Part):
    """Seconds that hold with chance `level`: as often below low as above high.

    Without a timed piece of the maker's it is a guess, and `level` null.
    """

    level: float | None
    low_s: float
    median_s: float
    high_s: float


@dataclass(frozen=True, kw_only=True)
class PaceLine(Part):
    """A pattern's pace. `basis` says whether it rests on any recorded piece."""

    pattern: str
    title: str
    size: str | None
    colourway: str | None
    pieces: int
    next_piece: SecondsInterval
    stages: dict[str, SecondsInterval]
    basis: str


@dataclass(frozen=True, kw_only=True)
class PaceAnswer(PaceLine, Answer):
    """`pace PATTERN`."""


@dataclass(frozen=True, kw_only=True)
class PacesAnswer(Answer):
    """`pace` without a pattern: every pattern's pace."""

    patterns: tuple[PaceLine, ...]
