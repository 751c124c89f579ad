"""What `commission` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class LotLine(Part):
    """One lot as it is agreed. `good`: pieces made of it that came out good."""

    id: str
    lot: str
    pattern: str
    size: str | None
    colourway: str | None
    pieces: int
    due: str | None
    price: str | None
    """For one piece, before tax, decimal text; null where none is agreed."""
    good: int
    like: str | None
    """The piece whose recipe card it was begun from, as it was called then."""


@dataclass(frozen=True, kw_only=True)
class VersionLine(Part):
    """One kept version: what it changed, and why. `source`: the app, or a file changed elsewhere.

    `stands`: no later version follows it; two of them stand where two benches changed it.
    """

    day: str
    source: str
    reason: str
    changes: tuple[str, ...]
    stands: bool


@dataclass(frozen=True, kw_only=True)
class CommissionAnswer(Answer):
    """`commission NAME`: as it stands now, and how it came to that."""

    commission: str
    id: str
    title: str
    whom: str
    due: str | None
    file: str
    lots: tuple[LotLine, ...]
    terms: dict[str, str | float]
    """Those that are set for this commission alone."""
    cancelled: str | None
    """The day on which it was cancelled, and why."""
    changed: tuple[str, ...]
    """What this call has changed."""
    versions: tuple[VersionLine, ...]
    waits: bool
    """Whether the change waits for another program that holds the journal."""
