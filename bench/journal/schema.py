"""The journal's file: its tables, how it is made, opened, recognised and brought up to date.

`events` is the truth and never changes; each row carries a CRC-32 of its own text, as SQLite has
no checksums. `parts` (which events a piece has) and `pieces` (each piece's state, the checkpoint)
follow from it and can be made again.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import sys
from functools import lru_cache
from pathlib import Path

from bench.journal.errors import Damaged, Refused, Unwritable
from bench.journal.events import new_id
from bench.journal.regular_file import NotAFile, check_regular
from bench.journal.syncing import sync_folder

APPLICATION_ID = 0x62524149
PAGE = 4096
BUSY_MS = 250

MIGRATIONS: list[str] = [
    """
    CREATE TABLE bench(id INTEGER PRIMARY KEY CHECK (id = 1), uuid TEXT NOT NULL,
      number INTEGER NOT NULL) STRICT;
    CREATE TABLE events(seq INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE, bench TEXT NOT NULL,
      number INTEGER NOT NULL, sitting TEXT NOT NULL, pieces TEXT NOT NULL, lot TEXT,
      wall REAL NOT NULL, offset_min INTEGER NOT NULL, boot TEXT NOT NULL, mono REAL NOT NULL,
      kind TEXT NOT NULL, version INTEGER NOT NULL, payload TEXT NOT NULL,
      crc INTEGER NOT NULL) STRICT;
    CREATE TABLE pieces(id INTEGER PRIMARY KEY, uuid TEXT NOT NULL UNIQUE, open INTEGER NOT NULL,
      version INTEGER NOT NULL, seq INTEGER NOT NULL, state TEXT NOT NULL,
      crc INTEGER NOT NULL) STRICT;
    CREATE INDEX pieces_open ON pieces(version, open);
    CREATE TABLE parts(piece INTEGER NOT NULL, seq INTEGER NOT NULL,
      PRIMARY KEY(piece, seq)) STRICT, WITHOUT ROWID;
    CREATE TRIGGER events_stay BEFORE UPDATE ON events
      BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
    CREATE TRIGGER events_remain BEFORE DELETE ON events
      BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;
    """,
    # Most events are crosses, and nobody seeks those of all pieces; the other kinds are few.
    "CREATE INDEX events_kind ON events(kind) WHERE kind <> 'crossed';",
]
"""Statements that lead from each version of the file to the next; the last one is ours."""

OLDEST_READ = 1
"""Files from this version on are read as they lie, by whoever may not bring them up to date."""

_UNNAMED = "unpacked-"
"""So begins the bench's id in a copy that becomes a bench once it is written to."""
_TABLES = {"bench", "events", "pieces", "parts"}
TROUBLE = (Damaged, sqlite3.Error, UnicodeDecodeError)
"""What reading or writing a file can raise; see `is_damage`."""

_BROKEN = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}


def is_damage(error: BaseException) -> bool:
    """Say whether an error means that the file itself is broken (not full, locked or away)."""
    if isinstance(error, Damaged | UnicodeDecodeError):
        return True
    if not isinstance(error, sqlite3.DatabaseError):
        return False
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:
        return "decode to UTF-8" in str(error)
    return bool(code & 255 in _BROKEN)


@lru_cache(maxsize=64)  # asked for six times with each cross
def beside(path: Path, ending: str) -> Path:
    """Return the file of the same name with `ending` added, as SQLite names its own."""
    return path.with_name(path.name + ending)


def connect(path: Path, mode: str) -> sqlite3.Connection:
    """Open a file with SQLite: `mode` is "ro", "rw", "rwc", or "still" (read, nobody writes)."""
    how = "mode=ro&immutable=1" if mode == "still" else f"mode={mode}"
    db = sqlite3.connect(
        f"{path.absolute().as_uri()}?{how}",
        uri=True,
        isolation_level=None,
        check_same_thread=False,
        timeout=BUSY_MS / 1000,
    )
    db.execute("PRAGMA trusted_schema = OFF")
    db.execute("PRAGMA cell_size_check = ON")
    if mode in ("ro", "still"):
        db.execute("PRAGMA query_only = ON")
    return db


def durable(db: sqlite3.Connection) -> None:
    """Make every commit reach the disk before it returns. Raises Unwritable if SQLite will not."""
    db.execute("PRAGMA synchronous = FULL")
    if sys.platform == "darwin":  # pragma: no cover
        db.execute("PRAGMA fullfsync = ON")
        db.execute("PRAGMA checkpoint_fullfsync = ON")
    mode = db.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    level = db.execute("PRAGMA synchronous").fetchone()[0]
    if mode not in ("wal", "memory") or level != 2:
        raise Unwritable(
            f"The journal cannot be kept safely here: SQLite offers {mode!r}, level {level}."
        )


def migrate(db: sqlite3.Connection) -> None:
    """Bring the file to this version, each step in one transaction."""
    version: int = db.execute("PRAGMA user_version").fetchone()[0]
    for number, script in enumerate(MIGRATIONS[version:], start=version + 1):
        db.executescript(
            f"BEGIN IMMEDIATE; {script} PRAGMA user_version = {number};"
            f" PRAGMA application_id = {APPLICATION_ID}; COMMIT;"
        )


def blank(db: sqlite3.Connection, bench: str | None = None) -> None:
    """Make an empty journal in a new database."""
    migrate(db)
    db.execute("INSERT INTO bench VALUES (1, ?, 0)", (bench or new_id(),))


def _ours(version: int) -> list[str]:
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        for script in MIGRATIONS[:version]:
            fresh.executescript(script)
        return statements(fresh)


def statements(db: sqlite3.Connection) -> list[str]:
    """Return the statements by which the tables were made."""
    rows = db.execute("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name")
    return [row[0] for row in rows]


def build(path: Path, bench: str | None = None) -> sqlite3.Connection:
    """Start a new journal under the name `path`, over any leftover of an earlier attempt."""
    sweep(path)
    db = connect(path, "rwc")
    try:
        db.execute(f"PRAGMA page_size = {PAGE}")
        durable(db)
        blank(db, bench)
    except BaseException:
        db.close()
        raise
    return db


def sweep(path: Path) -> None:
    """Remove a journal's files: half-built ones of ours, or those whose copy is kept."""
    for ending in ("", "-wal", "-shm", "-journal"):
        beside(path, ending).unlink(missing_ok=True)


def create(path: Path, bench: str | None = None) -> None:
    """Make an empty journal at `path`, which appears only when it is whole."""
    new = beside(path, ".new")
    build(new, bench).close()
    put(new, path)


def copy(db: sqlite3.Connection, new: Path) -> None:
    """Write all of an open journal to a file named `new`, over any leftover there."""
    sweep(new)
    with contextlib.closing(connect(new, "rwc")) as target:
        db.backup(target)
        durable(target)


def name_anew(path: Path, *, when_written: bool = False) -> None:
    """Make a closed copy of a journal a bench of its own, which goes on from the copied number.

    What the journal wrote after the copy was made bears numbers that the copy would give again.
    `when_written`: only as it is first opened for writing, for a copy that may be put at two places
    and is a bench of its own at each.
    """
    with contextlib.closing(connect(path, "rw")) as db:
        db.execute("PRAGMA journal_mode = MEMORY")  # cut off, it leaves nothing that is played back
        name = f"{_UNNAMED}{new_id()}" if when_written else new_id()
        db.execute("UPDATE bench SET uuid = ?", (name,))


def take_name(db: sqlite3.Connection) -> None:
    """Give a journal that is opened for writing its name, where its copy waits for one."""
    (name,) = db.execute("SELECT uuid FROM bench").fetchone()
    if name.startswith(_UNNAMED):
        db.execute("UPDATE bench SET uuid = ?", (new_id(),))


def put(new: Path, path: Path) -> None:
    """Give a whole, closed journal its name. Raises FileExistsError rather than overwrite."""
    if path.exists():
        raise FileExistsError(str(path))
    os.rename(new, path)
    sync_folder(path.parent)


def probe(path: Path, *, write: bool) -> str | None:
    """Look at an existing file without changing it: None if it is a journal, else what is wrong.

    Raises Refused for another program's file, a newer journal, or what is no file, and
    sqlite3.OperationalError where the file cannot be opened.
    """
    for file in (path, beside(path, "-wal"), beside(path, "-shm")):
        try:
            check_regular(file)
        except NotAFile as other:
            of = "" if file == path else "file of the "
            raise Refused(f"{file} is {other.what}, not a {of}journal.") from None
    if not path.exists():
        log = beside(path, "-wal")
        return "its main file is gone" if log.exists() and log.stat().st_size else None
    if path.stat().st_size == 0:
        return "it is empty"
    try:
        with contextlib.closing(open_reader(path)) as db:
            application: int = db.execute("PRAGMA application_id").fetchone()[0]
            version: int = db.execute("PRAGMA user_version").fetchone()[0]
            tables = {row[0] for row in db.execute("SELECT name FROM sqlite_schema")}
            ours = tables >= _TABLES
            if application != APPLICATION_ID and not ours:
                raise Refused(f"{path} belongs to another program; it was left alone.")
            if version > len(MIGRATIONS):
                raise Refused(
                    f"{path} was written by a newer braid-bench (version {version}); "
                    "it was left alone: update this program."
                )
            if not ours or application != APPLICATION_ID or version < 1:
                return "its head is broken"
            if statements(db) != _ours(version):
                return "its head is broken"
            if not write and version < OLDEST_READ:
                raise Refused(f"{path} is from an older braid-bench: open it once for writing.")
            row = db.execute("SELECT uuid, number FROM bench").fetchone()
            return None if row else "its head is broken"
    except TROUBLE as error:
        if is_damage(error):
            return "it is broken"
        raise


def open_reader(path: Path) -> sqlite3.Connection:
    """Open a journal for reading, beside a writer or alone.

    A closed journal in a folder that cannot be written is read as it lies. Raises
    sqlite3.OperationalError, or Unwritable where its log would have to be read there.
    """
    db = connect(path, "ro")
    try:
        db.execute("SELECT 1 FROM sqlite_schema").fetchone()
    except sqlite3.OperationalError as error:
        db.close()
        if is_damage(error) or os.access(path.parent, os.W_OK):
            raise
        wal = beside(path, "-wal")
        if wal.exists() and wal.stat().st_size > 0:
            raise Unwritable(
                f"The journal cannot be read here: {path.parent} cannot be written, and its last "
                f"events lie in {wal.name}; open it once where it can be written."
            ) from error
        db = connect(path, "still")
        db.execute("SELECT 1 FROM sqlite_schema").fetchone()
    except BaseException:
        db.close()
        raise
    return db
