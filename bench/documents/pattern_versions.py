"""The versions of the maker's patterns: each content that was kept, with its day and why.

They lie beside the patterns, in `versions`, one file a pattern, one line a version, in JSON. A
version is written once and never changed; why it came about can be said later, in a line of its
own.
"""

from __future__ import annotations

import datetime as dt
import json
import os
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bench.craft.pattern import Pattern, canonical
from bench.craft.structure import Structure
from bench.craft.text import cleaned
from bench.documents.errors import DocumentError
from bench.journal.clock import Instant
from bench.journal.regular_file import read_regular

MOST_BYTES = 100_000_000
MOST_WHY = 200

Content = tuple[Pattern, Structure]
"""What a version holds: the pattern as written, and the structure that it is braided on."""


@dataclass(frozen=True)
class PatternVersion:
    """One version: its number from 1, when it was kept (ISO 8601, with offset), and why."""

    number: int
    at: str
    why: str
    pattern: Pattern
    structure: Structure


def versions_path(home: Path, name: str) -> Path:
    """Where the versions of a pattern lie."""
    return home / "patterns" / "versions" / f"{name}.jsonl"


def read_versions(home: Path, name: str) -> tuple[tuple[PatternVersion, ...], tuple[str, ...]]:
    """Read the versions of a pattern, and what could not be read, one sentence a line.

    Raises DocumentError for a file that cannot be read at all.
    """
    path = versions_path(home, name)
    try:
        raw = read_regular(path, MOST_BYTES)
    except FileNotFoundError:
        return (), ()
    except OSError as error:
        reason = error.strerror or str(error)
        raise DocumentError(path, f"the versions cannot be read ({reason})") from None
    found: list[PatternVersion] = []
    told = []
    for number, line in enumerate(raw.split(b"\n"), 1):
        if not line.strip():
            continue
        try:
            said = json.loads(line)
            if "of" in said:
                at = int(said["of"]) - 1
                found[at] = replace(found[at], why=cleaned(str(said["why"]), MOST_WHY))
            else:
                found.append(_version(len(found) + 1, said))
        except (ValueError, TypeError, LookupError, RecursionError):
            told.append(f"{cleaned(str(path))}, line {number}: this is no version; it is left out")
    return tuple(found), tuple(told)


def note_kept(
    home: Path, name: str, before: Content | None, after: Content, why: str, now: Instant
) -> bool:
    """Note what a pattern was kept as; `before`: what its file held, noted too if nothing was yet.

    Return whether the version is new. Raises DocumentError if it cannot be written.
    """
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    at = dt.datetime.fromtimestamp(now.wall, zone).isoformat(timespec="seconds")
    if before is not None and not versions_path(home, name).exists():
        note_version(home, name, *before, "as it was", at)
    return note_version(home, name, *after, why, at)


def note_version(
    home: Path, name: str, pattern: Pattern, structure: Structure, why: str, at: str
) -> bool:
    """Write a version down, unless it is the last one once more; return whether it is new.

    Raises DocumentError if it cannot be written.
    """
    before, _ = read_versions(home, name)
    if before and (before[-1].pattern, before[-1].structure) == (pattern, structure):
        return False
    said = {
        "format": 1,
        "at": at,
        "why": cleaned(why, MOST_WHY),
        "pattern": canonical(pattern),
        "structure": canonical(structure),
    }
    _append(versions_path(home, name), said)
    return True


def say_why(home: Path, name: str, number: int, why: str) -> None:
    """Say, or say anew, why a version came about. Raises DocumentError if it cannot be written."""
    said = {"format": 1, "of": number, "why": cleaned(why, MOST_WHY)}
    _append(versions_path(home, name), said)


def _append(path: Path, said: dict[str, Any]) -> None:
    """Write a line at the end; one that was cut off there before is closed first."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("ab+") as file:
            file.seek(0, os.SEEK_END)
            torn = file.tell() > 0 and _last_byte(file) != b"\n"
            file.write((b"\n" if torn else b"") + json.dumps(said).encode() + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise DocumentError(path, f"the version cannot be written ({error.strerror})") from None


def _last_byte(file: Any) -> bytes:
    file.seek(-1, os.SEEK_END)
    last: bytes = file.read(1)
    return last


def _version(number: int, said: dict[str, Any]) -> PatternVersion:
    return PatternVersion(
        number,
        cleaned(str(said["at"]), 40),
        cleaned(str(said["why"]), MOST_WHY),
        Pattern.model_validate(said["pattern"]),
        Structure.model_validate(said["structure"]),
    )
