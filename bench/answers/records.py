"""What `export`, `import`, `record` and `trial` answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bench.answers import Answer


@dataclass(frozen=True, kw_only=True)
class ExportAnswer(Answer):
    """`export`: the file that was written, or else what would stand in it."""

    kind: str
    count: int
    file: str | None
    pieces: tuple[dict[str, Any], ...] | None = None
    events: tuple[dict[str, Any], ...] | None = None


@dataclass(frozen=True, kw_only=True)
class ImportAnswer(Answer):
    """`import FILE`: rows or events that were new, and those that were there already."""

    kind: str
    added: int
    known: int


@dataclass(frozen=True, kw_only=True)
class RecordAnswer(Answer):
    """`record PATTERN`: what was written down; `hands_on_s` is the share of each piece."""

    piece: str
    """The first of `pieces`."""
    pieces: tuple[str, ...]
    pattern: str
    size: str | None
    colourway: str | None
    stage: str | None
    hands_on_s: float
    finished_at: str
    """Local time with its offset, ISO 8601."""
    waits: bool
    """Whether it waits for another program that holds the journal."""


@dataclass(frozen=True, kw_only=True)
class TrialAnswer(Answer):
    """`trial PIECE`: whether the piece counts for nothing now."""

    piece: str
    title: str
    trial: bool
