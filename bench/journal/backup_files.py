"""Which backups of the journal lie in a data folder; naming them reads nothing in them."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

FOLDER = "backups"

_NAME = re.compile(r"journal-(\d{4}-\d\d-\d\d)\.db")


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup: the day whose journal it holds."""

    day: dt.date
    path: Path

    @property
    def size(self) -> int:
        """Bytes; 0 if it has gone."""
        try:
            return self.path.stat().st_size
        except OSError:
            return 0

    def counts(self) -> tuple[int, int]:
        """How many events and pieces it holds. Raises sqlite3.Error if it cannot be read."""
        from bench.journal import event_rows, schema

        with contextlib.closing(schema.connect(self.path, "still")) as db:
            found = event_rows.counts(db)
            return found["events"], found["pieces"]


def backup_path(home: Path, day: dt.date) -> Path:
    """Where a data folder's backup of a day lies, whether it is there or not."""
    return home / FOLDER / f"journal-{day.isoformat()}.db"


def backups(home: Path) -> Sequence[Backup]:
    """Return the backups of a data folder, the latest day first."""
    found = []
    with contextlib.suppress(OSError):
        for name in os.listdir(home / FOLDER):
            match = _NAME.fullmatch(name)
            with contextlib.suppress(ValueError):
                if match and (home / FOLDER / name).is_file():
                    day = dt.date.fromisoformat(match[1])
                    found.append(Backup(day, home / FOLDER / name))
    return sorted(found, key=lambda backup: backup.day, reverse=True)
