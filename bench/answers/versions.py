"""What `versions` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class MeasuredPiece(Part):
    """What a piece of a version measured; null where it was not measured."""

    piece: str
    size: str | None
    colourway: str | None
    sample: bool
    length_mm: float | None
    thickness_mm: float | None
    weight_g: float | None


@dataclass(frozen=True, kw_only=True)
class VersionLine(Part):
    """One version: when it was kept (ISO 8601), why, what changed, and its measured pieces."""

    version: int
    at: str
    why: str
    changes: tuple[str, ...]
    measured: tuple[MeasuredPiece, ...]


@dataclass(frozen=True, kw_only=True)
class VersionsAnswer(Answer):
    """`versions PATTERN`. `since`: what is in the pattern's file and in no version."""

    pattern: str
    title: str
    versions: tuple[VersionLine, ...]
    since: tuple[str, ...]
