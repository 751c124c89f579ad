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

from bench.journal import backups, schema
from bench.journal.errors import BadEvent
from bench.journal.events import Entry, Event
from bench.journal.file_in_hand import Hold
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


def killed_at(step: int, path: Path) -> bool:
    """Count a cross on a journal that was spoilt, in a process that dies before a step of its own.

    The steps are those that change, copy or make last a file. Returns whether it came so far.
    """
    child = os.fork()
    if child == 0:
        left = iter(range(step))

        def dying(call: Callable[..., object]) -> Callable[..., object]:
            def step_or_death(*args: object, **more: object) -> object:
                if next(left, None) is None:
                    os._exit(9)
                return call(*args, **more)

            return step_or_death

        with Journal.open(path, write=True) as journal:
            journal.append(Crossed(40, 41), pieces="p")
            with path.open("r+b") as file:
                file.write(bytes(4096))
            for place, name in (
                (shutil, "copyfile"),
                (os, "fsync"),
                (os, "rename"),
                (Path, "unlink"),
                (Hold, "_let_go"),
                (schema, "connect"),
            ):
                setattr(place, name, dying(getattr(place, name)))
            journal.append(Crossed(41, 42), pieces="p")
            os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9


def test_a_mending_in_place_that_was_cut_off_loses_nothing(
    path: Path, start: dict[str, object]
) -> None:
    """Killed at any step of mending what another program spoilt, the next start has all of it."""
    with Journal.open(path, write=True) as journal:
        braid(journal, start)
    home, step, whole = path.parent, 0, True
    shutil.copytree(home, home.with_name("as it was"))
    while whole:
        whole = killed_at(step, path)
        with Journal.open(path, write=True) as journal:
            made = [e.values["to"] for e in journal.events("p", "crossed")]
            assert made[:41] == list(range(1, 42)), f"killed at step {step}"
            assert journal.check()
        assert any(not any(old.read_bytes()[:4096]) for old in home.glob("journal-damaged-*.db"))
        shutil.rmtree(home)
        shutil.copytree(home.with_name("as it was"), home)
        step += 1
    assert step > 12
