"""What was read from files, kept with the stamps of these files, so that it is there at once.

The index is a small JSON file in the data folder. It may be lost, broken or thrown away at any
time: what it does not know is read from the files themselves.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from bench.journal.regular_file import read_regular

FILE = "index.json"
VERSION = 3
"""Raised with every change to what is kept, or to what a document's figures come to."""
MOST_BYTES = 50_000_000
"""What a thousand documents need is a fiftieth of it."""
SETTLED_NS = 50_000_000
"""A file that changed so shortly before it was read may change again within the same stamp."""

Stamp = tuple[int, int, int] | None
"""A file's time of change in nanoseconds, size and inode; None where there is no file."""


def stamp_of(path: Path | str) -> Stamp:
    """The stamp of a file."""
    try:
        found = os.stat(path)
    except (OSError, ValueError):
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


class Index:
    """Values by a key, each with the files that it was made from.

    A value is given only while all of its files have the stamps that they had.
    """

    def __init__(self, home: Path) -> None:
        self._file = home / FILE
        self._changed = False
        self._values: dict[str, Any] = {}
        with contextlib.suppress(OSError, ValueError, TypeError, AttributeError, RecursionError):
            said = json.loads(read_regular(self._file, MOST_BYTES))
            if said["version"] == VERSION:
                self._values = {str(key): value for key, value in said["values"].items()}

    def get(self, key: str) -> Any:
        """Return the value of a key; None if none is known, or a file of it has changed."""
        with contextlib.suppress(KeyError, ValueError, TypeError, AttributeError):
            stamps, value = self._values[key]
            if all(stamp_of(file) == _as_stamp(stamp) for file, stamp in stamps.items()):
                return value
        return None

    def put(self, key: str, value: Any, files: Iterable[Path], read_ns: int | None = None) -> None:
        """Keep a value, made of JSON's types, that rests on files.

        read_ns: when reading them was begun. Nothing is kept if one has changed since, or so
        shortly before that it may change again unseen; None where no other program writes them.
        """
        stamps = {str(file): stamp_of(file) for file in files}
        newest = max((stamp[0] for stamp in stamps.values() if stamp is not None), default=0)
        if read_ns is not None and newest > read_ns - SETTLED_NS:
            return
        self._values[key] = [stamps, value]
        self._changed = True

    def save(self) -> None:
        """Write what is new, if the data folder is there and can be written to."""
        if not self._changed or not self._file.parent.is_dir():
            return
        part = self._file.with_name(f".{FILE}.{os.getpid()}.part")
        text = json.dumps({"version": VERSION, "values": self._values}, separators=(",", ":"))
        try:
            part.write_text(text, encoding="utf-8")
            os.replace(part, self._file)
            self._changed = False
        except OSError:
            with contextlib.suppress(OSError):
                part.unlink()


def _as_stamp(kept: Any) -> Stamp:
    return None if kept is None else tuple(kept)
