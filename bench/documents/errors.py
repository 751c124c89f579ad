"""The error of a document that cannot be used: file, line, key and what was expected."""

from __future__ import annotations

from pathlib import Path

from bench.craft.text import cleaned
from bench.documents.key_lines import KeyPath


class DocumentError(Exception):
    """A file that cannot be used: what is wrong, where, and what was expected."""

    def __init__(
        self,
        file: Path,
        message: str,
        *,
        line: int | None = None,
        column: int | None = None,
        key: KeyPath = (),
    ) -> None:
        self.file = file
        self.message = message
        self.line = line
        self.column = column
        self.key = key
        where = cleaned(str(file))
        if line is not None:
            where += f", line {line}"
        if column is not None:
            where += f", column {column}"
        if key:
            where += f", key {key_name(key)}"
        super().__init__(f"{where}: {message}")

    @property
    def short(self) -> str:
        """The message with its line and key, for showing beside the file's name."""
        parts = [f"line {self.line}"] if self.line is not None else []
        if self.key:
            parts.append(key_name(self.key))
        return f"{', '.join(parts)}: {self.message}" if parts else self.message


def key_name(key: KeyPath) -> str:
    """Return a key path in words: `round 2, clockwise 1` has its numbers counted from 1."""
    text = ""
    for part in key:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += ("." if text else "") + cleaned(part, 40)
    return text
