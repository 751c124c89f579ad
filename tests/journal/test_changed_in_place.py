"""A journal that another program writes to while it is open is noticed at the next write."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from bench.journal import backups
from bench.journal.errors import BadEvent
from bench.journal.events import Entry, Event
from bench.journal.payloads import Crossed
from bench.journal.store import Journal
from tests.support.events import said

DAY = dt.date(2026, 11, 29)


def braid(journal: Journal, start: dict[str, object], crosses: int = 40) -> None:
    """Begin a piece and count crosses."""
    journal.append(said("piece_started", start), pieces="p")
    journal.append_many([Entry(Crossed(made, made + 1), "p") for made in range(crosses)])


def cut(path: Path) -> None:
    """Leave the first page."""
    os.truncate(path, 4096)


def empty(path: Path) -> None:
    """Leave nothing."""
    os.truncate(path, 0)


def overwrite(path: Path) -> None:
    """Write something else over all of it."""
    size = path.stat().st_size
    with path.open("r+b") as file:
        file.write(b"\0not a journal" * (size // 14))


@pytest.mark.parametrize("harm", [cut, empty, overwrite])
def test_what_was_counted_in_this_sitting_is_kept(
    path: Path, journal: Journal, start: dict[str, object], harm: Callable[[Path], None]
) -> None:
    """The next cross finds the file spoilt in place; all that was counted is there again."""
    braid(journal, start)
    journal._hold.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    journal._hold.know_content()
    harm(path)
    journal.append(Crossed(40, 41), pieces="p")
    assert "another program wrote to it while it was open" in journal.reports[-1]
    assert journal.state("p").made == 41
    assert journal.check()
    assert [e.values["to"] for e in journal.events("p", "crossed")] == list(range(1, 42))
    assert list(path.parent.glob("journal-damaged-*.db"))


def test_an_older_copy_laid_over_it_loses_nothing(
    path: Path, journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """A whole journal that lacks what was written since is no more taken for the present one."""
    braid(journal, start)
    journal._hold.db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    journal._hold.know_content()
    shutil.copyfile(path, tmp_path / "older")
    journal.append_many([Entry(Crossed(made, made + 1), "p") for made in range(40, 60)])
    with (tmp_path / "older").open("rb") as older, path.open("r+b") as file:
        shutil.copyfileobj(older, file)
        file.truncate()
    journal.append(Crossed(60, 61), pieces="p")
    assert journal.state("p").made == 61
    assert len(list(journal.events("p", "crossed"))) == 61
    assert journal.check()


def test_what_earlier_sittings_wrote_comes_from_the_backup(
    path: Path, start: dict[str, object]
) -> None:
    """A journal that was written over wholly is made again from the last backup."""
    with Journal.open(path, write=True) as journal:
        braid(journal, start)
    assert backups.make(path, DAY) is not None
    with Journal.open(path, write=True) as journal:
        journal.append(Crossed(40, 41), pieces="p")
        overwrite(path)
        journal.append(Crossed(41, 42), pieces="p")
        assert "more from elsewhere" in journal.reports[-1]
        assert journal.state("p").made == 42
        assert len(list(journal.events("p"))) == 43
        assert journal.check()


def test_checkpoints_and_readers_beside_the_writer_spoil_nothing(
    path: Path, journal: Journal, start: dict[str, object]
) -> None:
    """Checkpoints by another connection, and readers, are no damage; each event is there after."""
    braid(journal, start, 1)
    with closing(sqlite3.connect(path, timeout=5)) as other:
        for made in range(1, 60):
            journal.append(Crossed(made, made + 1), pieces="p")
            other.execute(f"PRAGMA wal_checkpoint({('PASSIVE', 'RESTART', 'TRUNCATE')[made % 3]})")
            with Journal.open(path, write=False) as reader:
                assert reader.state("p").made == made + 1
    assert journal.reports == []
    assert len(list(journal.events("p", "crossed"))) == 60
    assert journal.check()


def test_what_is_given_up_half_written_is_no_change_by_others(
    path: Path, journal: Journal, start: dict[str, object]
) -> None:
    """A large import that is refused at its end leaves pages behind, and the journal as known."""
    braid(journal, start, 1)

    one = list(journal.events())[1]

    def half_a_file() -> Iterator[Event]:
        for number in range(3000):
            yield replace(one, uuid=f"n{number}", number=number + 9)
        raise BadEvent("This line is wrong.")

    with pytest.raises(BadEvent):
        journal.merge(half_a_file())
    journal.append(Crossed(1, 2), pieces="p")
    assert journal.reports == []


@pytest.mark.parametrize("harm", [empty, overwrite])
def test_a_log_spoilt_in_place_loses_nothing(
    path: Path, journal: Journal, start: dict[str, object], harm: Callable[[Path], None]
) -> None:
    """The log beside the file cut or written over: the next cross finds it, and all is there."""
    braid(journal, start)
    harm(path.with_name("journal.db-wal"))
    journal.append(Crossed(40, 41), pieces="p")
    assert "another program wrote to it while it was open" in journal.reports[-1]
    assert [e.values["to"] for e in journal.events("p", "crossed")] == list(range(1, 42))
    assert journal.check()
