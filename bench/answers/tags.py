"""What `tags` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class Tag(Part):
    """One tag: its name says everything, its state where the piece is begun.

    `of`: how many the lot has; null where a number goes beyond that, as after a spoilt piece.
    """

    name: str
    pattern: str
    size: str | None
    colourway: str | None
    lot: str
    number: int
    of: int | None
    status: str


@dataclass(frozen=True, kw_only=True)
class TagsAnswer(Answer):
    """`tags COMMISSION`: a tag for each piece, and the file that they were written to."""

    commission: str
    title: str
    wide_mm: float
    high_mm: float
    tags: tuple[Tag, ...]
    file: str | None
