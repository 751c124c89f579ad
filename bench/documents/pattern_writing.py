"""A pattern's file as a person would write it: only what has changed differs."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bench.craft.pattern import Pattern
from bench.documents.errors import DocumentError
from bench.documents.key_lines import KeyPath
from bench.documents.toml_editing import is_commented, newline, without
from bench.documents.value_edits import gone, with_changes
from bench.documents.writing import write_file

_NEW = 'format = 1\ntitle = "new"\n'


def written_pattern(pattern: Pattern, text: str = "") -> str:
    """Return the text of a pattern's file; `text` is the one that it comes from.

    Keys that mean what they meant stay as they are written, with their comments and spaces. A
    strand's own load that has become that of all goes, unless it has a comment. A text in which
    the changes cannot be placed is written anew.
    """
    edited = edited_pattern(pattern, text)
    if edited is not None:
        return edited
    anew = edited_pattern(pattern, "")
    assert anew is not None
    return anew


def edited_pattern(pattern: Pattern, text: str) -> str | None:
    """The text as `written_pattern` has it; None where the changes cannot be placed in it."""
    import tomllib

    known = tomllib.loads(text.removeprefix("\ufeff")) if text.strip("\ufeff\r\n \t") else {}
    new = _values(pattern)
    if not known:
        text = text + _NEW.replace("\n", newline(text))
        known = tomllib.loads(_NEW)
        old: dict[str, Any] = known
    else:
        old = _values(Pattern.model_validate(known))
    for path in gone(old, new):
        if path[0] == "loads" and is_commented(text, path):
            new["loads"][path[1]] = new["loads"].get("all", "")
        else:
            text = without(text, path)
    text = with_changes(text, old, new, _ORDER, _has_lines)
    return text if _means(text, new) else None


def _means(text: str, values: dict[str, Any]) -> bool:
    """Whether a text means these values: tables can be written in ways that no edit here knows."""
    import tomllib

    try:
        found = Pattern.model_validate(tomllib.loads(text.removeprefix("\ufeff")))
    except ValueError:
        return False
    return _values(found) == values


class ChangedMeanwhileError(DocumentError):
    """The file is not as it was when it was read: nothing was written over it."""


def stamp_of(path: Path) -> str | None:
    """What tells one content of a file from another; None if there is no file.

    Raises DocumentError for a file that cannot be read.
    """
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except FileNotFoundError:
        return None
    except OSError as error:
        reason = error.strerror or str(error)
        raise DocumentError(path, f"the file cannot be read ({reason})") from None


def write_document(path: Path, text: str, known: str | None) -> str:
    """Write a document's file, if it is still as its stamp `known` says; return the new stamp.

    Raises DocumentError if it has changed meanwhile, is gone or has come to be, or if it cannot be
    written; nothing is changed then.
    """
    found = stamp_of(path)
    if found != known:
        if known is None:
            raise DocumentError(path, "there is such a file already; choose another name")
        what = "has gone" if found is None else "was changed by another program"
        raise ChangedMeanwhileError(
            path, f"the file {what} since it was read; nothing was written over it"
        )
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or str(error)
        raise DocumentError(path, f"the folder cannot be made ({reason})") from None
    write_file(path, text, ".toml", synced=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _values(pattern: Pattern) -> dict[str, Any]:
    """A pattern as plain values, without what is as it is by itself."""
    found: dict[str, Any] = pattern.model_dump(mode="json", exclude_none=True)
    usual: dict[str, Any] = pattern.model_dump(
        mode="json", exclude_none=True, exclude_defaults=True
    )
    # Plain crosses are always said: they are the first that a reader looks for.
    return usual | {key: found[key] for key in ("format", "plain_start", "plain_end")}


_ORDER = (
    "format", "title", "structure", "plain_start", "plain_end", "crosses", "threads", "beads",
    "loads", "core", "marks", "halts", "finish", "sizes", "colourways",
)  # fmt: skip


def _has_lines(value: Any, path: KeyPath) -> bool:
    """Whether a new value becomes a table with lines of its own; others go on one line."""
    return len(path) < 3 and (isinstance(value, Mapping) or path == ("marks",))
