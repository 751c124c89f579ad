"""A journal file in hand: opened, locked, watched, and got back if it is lost or broken."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import time
from collections.abc import Callable, Iterable
from itertools import chain
from pathlib import Path
from typing import TypeAlias, TypeVar

from bench.journal import damage, schema
from bench.journal import event_rows as table
from bench.journal import write_ahead_log as log
from bench.journal.backups import events_of_latest
from bench.journal.errors import Damaged, JournalError, Locked, Unreadable, Unwritable
from bench.journal.events import Event
from bench.journal.lock import LOCK_NAME, FileLock

T = TypeVar("T")
_Inode: TypeAlias = tuple[int, int] | None
_Stamp: TypeAlias = tuple[int, int] | None
_FILES = ("", "-wal")
"""What the file's own name and that of its log end in."""


class Changed(JournalError):
    """The file was written to by another program while it was open."""

    def __init__(self) -> None:
        super().__init__("The journal was changed by another program while it was open.")


class Away(JournalError):
    """The path no longer holds the file that was written to, or the lock is no longer there."""

    def __init__(self) -> None:
        super().__init__("The journal was taken away while it was open.")


def why(error: BaseException) -> str:
    """Return the reason in an error, as the middle of a sentence."""
    if isinstance(error, OSError) and error.strerror:
        reason = error.strerror[:1].lower() + error.strerror[1:]
        return f"{reason}: {error.filename}" if error.filename else reason
    return str(error).rstrip(".") or type(error).__name__


def _inode(path: Path) -> _Inode:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _stamp(path: Path) -> _Stamp:
    """What tells that a file was written to; its size alone where times may lag behind."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_size, found.st_mtime_ns if os.name == "posix" else 0


class Hold:
    """The journal's connection and lock.

    `reports`: sentences about damage and loss. Only one thread at a time may call it.
    """

    def __init__(self, path: Path, *, write: bool, wait_s: float) -> None:
        self.path = path
        self.write = write
        self.reports: list[str] = []
        self._db: sqlite3.Connection | None = None
        self._wait_s = wait_s
        self._closed = False
        self._lock: FileLock | None = None
        self._inode: _Inode = None
        self._log: _Inode = None
        self._stamps: list[_Stamp] = []

    @property
    def db(self) -> sqlite3.Connection:
        """The file, or where there is none an empty journal in memory. Raises if it was closed."""
        if self._closed:
            raise JournalError("The journal is closed.")
        if self._db is None:
            self._db = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
            schema.blank(self._db)
        return self._db

    def close(self) -> None:
        """Let file and lock go."""
        self._closed = True
        self._use(None)
        if self._lock is not None:
            self._lock.release()
            self._lock = None

    def look_on(self) -> None:
        """Open the file for reading only, if there is one. Raises Damaged, Refused, Unwritable."""
        try:
            wrong = schema.probe(self.path, write=False)
            if wrong is None and not self.path.exists():
                return
            if wrong is None:
                db = schema.open_reader(self.path)
                try:
                    table.check_pieces(db, open_only=True)
                except BaseException:
                    db.close()
                    raise
                self._use(db)
                return
        except sqlite3.OperationalError as error:
            raise Unwritable(f"The journal cannot be read: {self.path}: {why(error)}.") from error
        except schema.TROUBLE as error:
            if not schema.is_damage(error):
                raise
            wrong = "it is broken"
        raise Damaged(
            f"The journal {self.path} is damaged ({wrong}): open the bench once, "
            "which sets it aside and saves what can be read."
        )

    def make_ready(self) -> list[Event] | None:
        """Open the file for writing; again, if it was open, in whatever way it was lost.

        Returns None if the file goes on as it was known here; otherwise the events that must be
        joined with what it holds now. Raises Locked, Unwritable, Refused, OSError or sqlite3.Error;
        what could be read before can still be read then.
        """
        if self._closed:
            raise JournalError("The journal is closed.")
        self.path.parent.mkdir(parents=True, exist_ok=True)
        if self._lock is None or not self._lock.in_place():
            lock = FileLock(self.path.with_name(LOCK_NAME), self._wait_s)
            if self._lock is not None:
                self._lock.release()
            self._lock = lock
            self._wait_s = 0.0
        there = _inode(self.path)
        join: list[Event] | None = None
        if self._inode is None:
            join = []
            self._use(self._open())
        elif there == self._inode and self._log_in_place():
            self._use(self._open())
        elif there == self._inode:
            join = [event for _, event in table.all_events(self.db, 0)]
            self.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            self._let_go()
            self._use(self._open())
        elif there is None:
            new = schema.beside(self.path, ".new")
            schema.copy(self.db, new)
            if self._log_in_place():
                for ending in ("-wal", "-shm"):
                    schema.beside(self.path, ending).unlink(missing_ok=True)
            schema.put(new, self.path)
            self._let_go()
            self._use(self._open())
            self._report_loss("it was made again, with everything that was in it")
        else:
            join = [event for _, event in table.all_events(self.db, 0)]
            if self._log_in_place():
                self._take_log_from_other()
            self._use(self._open())
            self._report_loss("another one lay in its place, and both were joined")
        self._know_place()
        return join

    def _take_log_from_other(self) -> None:
        """Take our log from beside another journal, which it would hide; keep ours as a copy."""
        ours = self.path.with_name(f"{self.path.stem}-joined-{time.strftime('%Y%m%d-%H%M%S')}.db")
        schema.copy(self.db, ours)
        for ending in ("-wal", "-shm"):
            schema.beside(self.path, ending).unlink(missing_ok=True)

    def _know_place(self) -> None:
        self._inode, self._log = _inode(self.path), _inode(schema.beside(self.path, "-wal"))
        self.know_content()

    def know_content(self) -> None:
        """Note that what is in the file now is known: this program has written it, or read it."""
        self._stamps = self._stamps_now()

    def _stamps_now(self) -> list[_Stamp]:
        return [_stamp(schema.beside(self.path, ending)) for ending in _FILES]

    def check_content(self) -> None:
        """Raise Changed if another program has written to the file or its log, in place."""
        in_place = _inode(self.path) == self._inode and self._log_in_place()
        if in_place and self._stamps_now() != self._stamps:
            raise Changed

    def _log_in_place(self) -> bool:
        return _inode(schema.beside(self.path, "-wal")) == self._log

    def _let_go(self) -> None:
        """Close the file; what comes next is to be joined with what it then holds."""
        self._use(None)
        self._inode = self._log = None

    def _report_loss(self, what: str) -> None:
        self.reports.append(f"The journal {self.path} was taken away while it was open: {what}.")

    def _use(self, db: sqlite3.Connection | None) -> None:
        old, self._db = self._db, db
        if old is not None:
            with contextlib.suppress(sqlite3.Error):
                old.close()

    def _open(self) -> sqlite3.Connection:
        """Open the file at the path for writing: made, mended and brought up to date."""
        taken_up = damage.take_up(self.path)
        if taken_up:
            self.reports.append(taken_up)
        wrong = schema.probe(self.path, write=True)
        if wrong is None and self._inode is None and not log.is_whole(self.path):
            wrong = "its log is broken"
        if wrong is None and not self.path.exists():
            schema.create(self.path)
        if wrong is None:
            try:
                return self._connect()
            except schema.TROUBLE as error:
                if not schema.is_damage(error):
                    raise
                wrong = "it is broken"
        self._mend(wrong)
        return self._connect()

    def _connect(self) -> sqlite3.Connection:
        db = schema.connect(self.path, "rw")
        try:
            schema.durable(db)
            schema.migrate(db)
            schema.take_name(db)
            table.check_pieces(db, open_only=True)
        except BaseException:
            db.close()
            raise
        return db

    def check_place(self) -> None:
        """Raise Away unless file, log and lock are ours and where they were, after a write."""
        if not (
            self._lock is not None
            and _inode(self.path) == self._inode
            and self._log_in_place()
            and self._lock.in_place()
        ):
            raise Away
        self.know_content()

    def mend(self, wrong: str) -> None:
        """Set the file aside, save what can be read, and go on with that."""
        self._let_go()
        self._mend(wrong)
        self._use(self._connect())
        self._know_place()

    def mend_as_found(self, wrong: str, known: Iterable[Event]) -> None:
        """Mend a file that another program has written to under this one.

        As this one lets it go the log's pages are written into it: it is mended as it was found.
        `known`: events that are known to have been in it.
        """
        self._mend(wrong, known, self._let_go)
        self._use(self._connect())
        self._know_place()

    def _mend(
        self,
        wrong: str,
        known: Iterable[Event] = (),
        let_go: Callable[[], None] | None = None,
    ) -> None:
        beside_it = chain(known, events_of_latest(self.path))
        self.reports.append(damage.mend(self.path, wrong, beside_it, let_go).sentence)

    def read(self, question: Callable[[sqlite3.Connection], T]) -> tuple[T, bool]:
        """Ask the file; if it proves damaged and is ours to write, mend it and ask again.

        Returns the answer, and whether the file was mended. Raises Damaged if it is not ours,
        Unreadable if the disk does not give it.
        """
        try:
            return question(self.db), False
        except schema.TROUBLE as error:
            if not schema.is_damage(error):
                raise Unreadable(
                    f"The journal cannot be read: {self.path}: {why(error)}."
                ) from error
            if not self.write or self._inode is None:
                raise Damaged(
                    f"The journal {self.path} is damaged: open the bench once, "
                    "which sets it aside and saves what can be read."
                ) from error
        self.mend("it is broken")
        return question(self.db), True


def first_open(hold: Hold, *, even_unsaved: bool) -> str:
    """Open a journal for the first time; return why it cannot be written, or nothing.

    Raises Locked, Unwritable, Refused, Damaged.
    """
    try:
        if hold.write:
            hold.make_ready()
        else:
            hold.look_on()
        return ""
    except (Unwritable, OSError, *schema.TROUBLE) as error:
        if not hold.write or not even_unsaved or isinstance(error, Locked):
            hold.close()
            if isinstance(error, JournalError):
                raise
            raise Unwritable(f"The journal cannot be written: {why(error)}.") from error
        with contextlib.suppress(JournalError, OSError, *schema.TROUBLE):
            hold.look_on()
        return why(error)
    except BaseException:
        hold.close()
        raise
