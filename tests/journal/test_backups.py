"""Backups of the journal: dated, few, whole, and taken back without losing what lay there."""

from __future__ import annotations

import datetime as dt
import errno
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bench.journal import backups
from bench.journal.backup_files import FOLDER
from bench.journal.backup_files import backups as backups_in
from bench.journal.commission_payloads import CustomerNamed
from bench.journal.errors import Locked, Refused
from bench.journal.payloads import Crossed
from bench.journal.store import Journal
from tests.support.events import said

DAY = dt.date(2026, 11, 29)


def begin(journal: Journal, start: dict[str, object], crosses: int = 1) -> None:
    """A piece with some crosses."""
    journal.append(said("piece_started", start), pieces="p")
    for made in range(crosses):
        journal.append(Crossed(made, made + 1), pieces="p")


def test_a_backup_beside_the_writer_is_whole(
    path: Path, journal: Journal, start: dict[str, object]
) -> None:
    """Made while the journal is written to, it holds all that is on disk, in one file."""
    begin(journal, start, 5)
    journal.append(CustomerNamed("curtain", "Silver Eaves"), pieces="not a piece")
    assert backups.is_due(path, DAY)
    made = backups.make(path, DAY)
    assert made is not None
    assert made.counts() == (7, 1)
    assert [file.name for file in made.path.parent.iterdir()] == ["journal-2026-11-29.db"]
    assert not backups.is_due(path, DAY)
    assert backups.is_due(path, DAY + dt.timedelta(1))
    with Journal.open(made.path, write=False) as copied:
        assert list(copied.events()) == list(journal.events())


def test_a_day_is_backed_up_anew_when_much_has_come(
    path: Path, journal: Journal, start: dict[str, object]
) -> None:
    """An hour later, with something written since, it is due again; one with more is not lost."""
    begin(journal, start)
    made = backups.make(path, DAY)
    assert made is not None
    an_hour_ago = made.path.stat().st_mtime - backups.AGAIN_S - 5
    os.utime(made.path, (an_hour_ago, an_hour_ago))
    journal.append(Crossed(1, 2), pieces="p")
    assert backups.is_due(path, DAY)
    again = backups.make(path, DAY)
    assert again is not None
    assert again.counts() == (3, 1)
    with Journal.open(path.parent / "other" / "journal.db", write=True) as fewer:
        begin(fewer, start, 0)
        there = fewer.path.parent / "backups"
        there.mkdir()
        again.path.rename(there / again.path.name)
        assert backups.make(fewer.path, DAY) is None
        assert backups_in(fewer.folder)[0].counts() == (3, 1)


def test_the_last_days_and_weeks_are_kept(
    path: Path, journal: Journal, start: dict[str, object]
) -> None:
    """Of sixty days in a row seven stay, and the last one of each of four weeks."""
    begin(journal, start)
    first = DAY - dt.timedelta(59)
    for ago in range(60):
        assert backups.make(path, first + dt.timedelta(ago)) is not None
    kept = [backup.day for backup in backups_in(path.parent)]
    days = [DAY - dt.timedelta(ago) for ago in range(7)]
    # DAY is a Sunday, the last day of its ISO week.
    weeks = [DAY - dt.timedelta(7 * ago) for ago in range(1, 4)]
    assert kept == [*days, *weeks]


def test_a_backup_is_taken_and_what_lay_there_is_kept(path: Path, start: dict[str, object]) -> None:
    """The journal is as it was on that day; the other one lies beside it under another name."""
    with Journal.open(path, write=True) as journal:
        begin(journal, start, 3)
    made = backups.make(path, DAY)
    assert made is not None
    with Journal.open(path, write=True) as journal:
        journal.append(Crossed(3, 4), pieces="p")
        with pytest.raises(Locked):
            backups.restore(path, made, 0.0)
    cut_off = path.with_name("journal.db.new-journal")
    played_back(made.path, cut_off)
    aside = backups.restore(path, made, 0.0)
    assert aside is not None
    assert not cut_off.exists()
    with Journal.open(path, write=True) as journal:
        assert journal.state("p").made == 3
        assert journal.reports == []
        assert journal.check()
    with Journal.open(aside, write=False) as replaced:
        assert replaced.state("p").made == 4


def test_what_is_done_after_a_restore_bears_no_number_twice(
    path: Path, start: dict[str, object]
) -> None:
    """Joined again with what was set aside, no event has bench and number of another one."""
    with Journal.open(path, write=True) as journal:
        begin(journal, start, 3)
        before = journal.bench
    made = backups.make(path, DAY)
    assert made is not None
    with Journal.open(path, write=True) as journal:
        journal.append(Crossed(3, 4), pieces="p")
        seen = journal.seen()
    aside = backups.restore(path, made, 0.0)
    assert aside is not None
    with Journal.open(path, write=True) as journal, Journal.open(aside, write=False) as old:
        assert journal.bench != before
        new = journal.append(Crossed(3, 5), pieces="p")
        assert new.number > seen.get(new.bench, 0), "a count of a tube made before has not seen it"
        journal.merge(old.events())
        numbers = [(event.bench, event.number) for event in journal.events()]
    assert len(numbers) == len(set(numbers)) == 6


def played_back(backup: Path, left: Path) -> None:
    """Leave what SQLite would play back into a file of that name: pages of before a change."""
    other = backup.with_name("other.db")
    other.write_bytes(backup.read_bytes())
    with closing(sqlite3.connect(other, isolation_level=None)) as db:
        db.execute("PRAGMA cache_spill = 1")
        db.execute("PRAGMA cache_size = 1")
        db.execute("UPDATE pieces SET state = 'spoilt'")
        db.execute("BEGIN IMMEDIATE")
        db.execute("UPDATE pieces SET state = ''")
        db.execute("CREATE TABLE filler(x)")
        db.executemany("INSERT INTO filler VALUES (?)", [("x" * 3000,)] * 40)
        left.write_bytes(other.with_name("other.db-journal").read_bytes())
        db.execute("ROLLBACK")
    other.unlink()
    assert left.stat().st_size > 512


def test_a_backup_broken_in_the_middle_is_refused(path: Path, start: dict[str, object]) -> None:
    """Where the head is right and an event is not as it was written, nothing is put in place."""
    with Journal.open(path, write=True) as journal:
        begin(journal, start, 40)
    made = backups.make(path, DAY)
    assert made is not None
    content = made.path.read_bytes()
    at = content.index(b'{"from":20,"to":21}')
    made.path.write_bytes(content[:at] + b'{"from":20,"to":99}' + content[at + 19 :])
    before = path.read_bytes()
    with pytest.raises(Refused, match="not as it was written"):
        backups.restore(path, made, 0.0)
    assert path.read_bytes() == before
    assert not list(path.parent.glob("journal.db.new*"))


def test_a_broken_backup_is_refused(path: Path, journal: Journal, start: dict[str, object]) -> None:
    """A backup that is not whole takes nothing's place."""
    begin(journal, start)
    made = backups.make(path, DAY)
    assert made is not None
    journal.close()
    made.path.write_bytes(made.path.read_bytes()[:5000])
    before = path.read_bytes()
    with pytest.raises(Refused, match="cannot be taken"):
        backups.restore(path, made, 0.0)
    assert path.read_bytes() == before
    assert not list(path.parent.glob("journal-*.db"))


def test_a_restore_that_finds_no_room_leaves_nothing(
    path: Path, journal: Journal, start: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the copy cannot be made the journal stays, and no half of a copy beside it."""
    begin(journal, start)
    made = backups.make(path, DAY)
    assert made is not None
    journal.close()
    before = {file.name: file.read_bytes() for file in path.parent.iterdir() if file.is_file()}

    def full(file: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(backups, "sync_file", full)
    with pytest.raises(OSError, match="No space left"):
        backups.restore(path, made, 0.0)
    after = {file.name: file.read_bytes() for file in path.parent.iterdir() if file.is_file()}
    assert {**after, "journal.lock": b""} == {**before, "journal.lock": b""}


def test_a_pipe_among_the_backups_is_none(path: Path) -> None:
    """What is no file is passed over, and never waited for."""
    folder = path.parent / FOLDER
    folder.mkdir(parents=True)
    os.mkfifo(folder / "journal-2026-01-01.db")
    assert backups_in(path.parent) == []
