"""What `check`, `schema`, `restore` and `backup` answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class Mistake(Part):
    """What is wrong with a file, and where; line and column are counted from 1."""

    message: str
    line: int | None = None
    column: int | None = None
    key: str | None = None

    def sentence(self, file: str) -> str:
        """The message with file, line, column and key before it, as far as they are known."""
        known = {"line": self.line, "column": self.column, "key": self.key}
        where = [file, *(f"{name} {value}" for name, value in known.items() if value is not None)]
        return f"{', '.join(where)}: {self.message}"


@dataclass(frozen=True, kw_only=True)
class CheckedFile(Part):
    """One file: `sound` if nothing is wrong and there is nothing to warn of."""

    file: str
    kind: str
    error: Mistake | None
    warnings: tuple[str, ...]
    sound: bool


@dataclass(frozen=True, kw_only=True)
class CheckAnswer(Answer):
    """`check FILE…`; status 1 if any file has an error."""

    files: tuple[CheckedFile, ...]

    @property
    def errors(self) -> tuple[str, ...]:
        """What is wrong, one sentence for each file that is."""
        return tuple(
            checked.error.sentence(checked.file)
            for checked in self.files
            if checked.error is not None
        )


@dataclass(frozen=True, kw_only=True)
class BackupFile(Part):
    """A backup of the journal: its day, its file, and what it holds, if it can be read."""

    day: str
    path: str
    bytes: int
    events: int | None
    pieces: int | None


@dataclass(frozen=True, kw_only=True)
class RestoreAnswer(Answer):
    """`restore`: the backups, the latest first; with a day, what it put in the journal's place.

    `restored`: that day; `aside`: where what lay there is kept. Both None where nothing was done.
    """

    backups: tuple[BackupFile, ...]
    restored: str | None
    aside: str | None


@dataclass(frozen=True, kw_only=True)
class SchemaAnswer(Answer):
    """`schema KIND`; without --json the schema alone is printed."""

    kind: str
    json_schema: dict[str, Any]


@dataclass(frozen=True, kw_only=True)
class BackupAnswer(Answer):
    """`backup FILE.zip`: what was written.

    `waiting`: files with events that are not in the journal yet.
    """

    file: str
    documents: int
    events: int
    waiting: int
