"""Dated backups of the journal: of the last days, and the last one of each of the last weeks.

They lie in a folder beside the journal, one whole file a day, made by SQLite's own backup call
(https://www.sqlite.org/backup.html), which reads one moment of a journal that is written to.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from bench.journal import damage, schema
from bench.journal import event_rows as table
from bench.journal.backup_files import Backup, backup_path, backups
from bench.journal.errors import Refused
from bench.journal.events import Event
from bench.journal.lock import LOCK_NAME, FileLock
from bench.journal.schema import beside
from bench.journal.syncing import sync_file, sync_folder

DAYS, WEEKS = 7, 4
AGAIN_S = 3600.0
"""A day's backup is made anew after so long, if something was written since."""


def is_due(journal: Path, day: dt.date) -> bool:
    """Say whether a backup of this day is to be made: none is there, or an old one."""
    written = max((_written(beside(journal, ending)) for ending in ("", "-wal")), default=0.0)
    kept = _written(backup_path(journal.parent, day))
    return written > 0.0 and (kept == 0.0 or (written > kept and written - kept > AGAIN_S))


def make(journal: Path, day: dt.date, rest: Callable[[], object] = lambda: None) -> Backup | None:
    """Make the backup of a day, and remove those that are no longer kept; None if none was made.

    A backup that holds more events than the journal now does is left as it is; so is every other
    one, where this one cannot be made, or proves not to be whole. `rest` is called now and then, to
    let others work; what it raises passes through. Raises OSError, JournalError or sqlite3.Error.
    """
    made = Backup(day, backup_path(journal.parent, day))
    part = beside(made.path, ".part")
    made.path.parent.mkdir(exist_ok=True)
    with contextlib.closing(schema.open_reader(journal)) as db:
        events = table.counts(db)["events"]
        with contextlib.suppress(sqlite3.Error):
            if not events or (made.path.exists() and made.counts()[0] > events):
                return None
        schema.sweep(part)
        with contextlib.closing(schema.connect(part, "rwc")) as target:
            db.backup(target)
            target.execute("PRAGMA journal_mode = DELETE")  # one file, whole by itself
    try:
        _check_whole(part, rest)
        sync_file(part)
    except BaseException:
        schema.sweep(part)
        raise
    part.replace(made.path)
    sync_folder(made.path.parent)
    for old in _no_longer_kept(backups(journal.parent)):
        old.path.unlink(missing_ok=True)
    return made


def _no_longer_kept(found: Sequence[Backup]) -> Sequence[Backup]:
    """Those that are neither of the last days nor the last of one of the last weeks."""
    weeks: dict[tuple[int, int], Backup] = {}
    for backup in found:
        weeks.setdefault(backup.day.isocalendar()[:2], backup)
    kept = [*found[:DAYS], *list(weeks.values())[:WEEKS]]
    return [backup for backup in found if backup not in kept]


def latest(journal: Path) -> Backup | None:
    """Return the backup that was made, or taken, last."""
    return max(backups(journal.parent), key=lambda backup: _written(backup.path), default=None)


def events_of_latest(journal: Path) -> Iterator[Event]:
    """Yield the events of the backup that was made, or taken, last, as far as they can be read."""
    backup = latest(journal)
    if backup is None:
        return
    with contextlib.suppress(OSError, *schema.TROUBLE):
        for _, event in damage.events_in(backup.path):
            yield event


def restore(journal: Path, backup: Backup, wait_s: float) -> Path | None:
    """Put a backup in the journal's place; return where what lay there was set aside, or None.

    From then on it is another bench than the one that was backed up: no number is used twice.

    Raises Locked if another program writes to the journal, Refused if the backup is no journal or
    not whole, OSError or sqlite3.Error if it cannot be copied. What lay there is then as it was.
    """
    lock = FileLock(journal.with_name(LOCK_NAME), wait_s)
    try:
        try:
            wrong = schema.probe(backup.path, write=False)
        except schema.TROUBLE as error:
            wrong = str(error)
        if wrong is not None:
            raise Refused(f"The backup {backup.path} cannot be taken: {wrong}.")
        damage.take_up(journal)
        new, saved = beside(journal, ".new"), beside(journal, ".saved")
        _copy(backup, new)
        there = any(beside(journal, ending).exists() for ending in ("", "-wal"))
        new.replace(saved)
        aside = damage.set_aside(journal, "replaced") if there else None
        schema.put(saved, journal)
        os.utime(backup.path)
        return aside
    finally:
        lock.release()


def _copy(backup: Backup, new: Path) -> None:
    """Make a whole journal of its own out of a backup, on the disk, or leave nothing."""
    schema.sweep(new)
    try:
        shutil.copyfile(backup.path, new)
        schema.name_anew(new)
        _check_whole(new)
        sync_file(new)
    except BaseException as error:
        schema.sweep(new)
        if schema.is_damage(error):
            raise Refused(f"The backup {backup.path} cannot be taken: {error}.") from error
        raise


def _check_whole(path: Path, rest: Callable[[], object] = lambda: None) -> None:
    with contextlib.closing(schema.connect(path, "still")) as db:
        damage.whole(db, rest)


def _written(path: Path) -> float:
    """When a file was written to last, 0 if it is not there."""
    try:
        return path.stat().st_mtime
    except OSError:
        return 0.0
