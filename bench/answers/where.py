"""What `where` answers."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class Location(Part):
    """A file or folder, and whether it is there."""

    path: str
    there: bool


@dataclass(frozen=True, kw_only=True)
class WhereAnswer(Answer):
    """`where`; `sqlite`: its version, `sqlite_fault`: what is known to be wrong with it, or ""."""

    home: Location
    patterns: Location
    structures: Location
    commissions: Location
    settings: Location
    stock: Location
    journal: Location
    shipped: Location
    backups: Location
    backups_bytes: int
    sqlite: str
    sqlite_fault: str
