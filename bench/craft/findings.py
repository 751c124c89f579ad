"""What a maker should know of a pattern before braiding it: each finding with place and cure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

FindingKind = Literal[
    "plain-start",
    "plain-end",
    "stringing",
    "short-load",
    "size-step",
    "neighbours",
    "open-end",
    "hole",
    "passing",
    "no-core",
    "core-large",
    "core-small",
    "core-narrow",
    "core-long",
    "core-short",
    "core-early",
    "core-late",
    "late-mark",
]


@dataclass(frozen=True, slots=True)
class FoundAt:
    """Where in the braid: a strand, its row, the cross; None for what is not in one place."""

    strand: int | None = None
    row: int | None = None
    cross: int | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """A key of the pattern's file, from the top, and what to write there."""

    key: tuple[str | int, ...]
    value: str | int


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is unsound: its kind, a sentence, where, and what would cure it, if known."""

    kind: FindingKind
    says: str
    at: FoundAt = FoundAt()
    cure: tuple[Change, ...] = ()
