from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from bench.journal.events import Event
from bench.journal.schema import MIGRATIONS, PAGE
from bench.journal.store import Journal
from tests.faults.kills import events_of
from tests.support.clock import ManualClock
from tests.support.command_line import say
from tests.support.homes import PIECES, braid_on, furnished, start
from tests.support.terminal import Program

OWN = "another program's rows"


def flip(path: Path) -> None:
    """Change one byte in the text of every hundredth page's middle, and one in the head."""
    data = bytearray(path.read_bytes())
    for at in (20, *range(PAGE + PAGE // 2, len(data), 100 * PAGE)):
        data[at] ^= 0xFF
    path.write_bytes(data)


def cut(path: Path) -> None:
    """Cut the file off in the middle of its last page but one."""
    data = path.read_bytes()
    path.write_bytes(data[: len(data) - PAGE - 100])


def clear(path: Path) -> None:
    """Leave an empty file."""
    path.write_bytes(b"")


def overwrite(path: Path) -> None:
    """Put a text in the file's place."""
    path.write_bytes(b"this is a letter, not a journal\n" * 500)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with four pieces in the making."""
    return furnished(tmp_path)


@pytest.mark.parametrize("harm", [flip, cut, clear, overwrite])
def test_a_damaged_journal_is_set_aside_and_told(home: Path, harm: Callable[[Path], None]) -> None:
    """Opened on a damaged journal, the program keeps the file as it is, saves and says what it can.

    A new piece can be begun and braided at once.
    """
    path = home / "journal.db"
    before = events_of(home)
    harm(path)
    damaged = path.read_bytes()
    with Program(home) as program:
        program.wait_for("PATTERNS")
        program.wait_for("The journal was damaged")
        (aside,) = (f for f in home.glob("journal-damaged-*") if f.suffix == ".db")
        assert aside.read_bytes() == damaged
        program.press(b"\x1b[F", b"\x1b[A", b"\x1b[A", b"\r", b"\r", b"m", b"m", b"m")
        program.press(b" ", b" ", b"m", b" ")
    assert b"Traceback" not in program.raw
    after = events_of(home)
    kept = [event for event in after if event in before]
    assert kept == [event for event in before if event in kept]
    if harm is flip:
        assert len(kept) >= len(before) - 3
    if harm is cut:  # the pages left hold the older half of the crosses
        assert len(kept) >= 25
    assert any(event.kind == "crossed" for event in after[len(kept) :])


@pytest.mark.parametrize("version", [len(MIGRATIONS) + 1, None])
def test_a_file_that_is_not_ours_is_left_alone(home: Path, version: int | None) -> None:
    """A newer journal and another program's file are refused, said, and not changed by a byte."""
    path = home / "journal.db"
    if version is None:
        path.unlink()
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
        if version is None:
            db.execute("CREATE TABLE birds(name TEXT)")
            db.execute("INSERT INTO birds VALUES (?)", (OWN,))
            db.commit()
        else:
            db.execute(f"PRAGMA user_version = {version}")
    before = path.read_bytes()
    with Program(home) as program:
        program.wait_for("PATTERNS")
        program.wait_for("left alone" if version is None else "newer")
        program.press(b"\x1b[F", b"\x1b[A", b"\r", b"\r", b"m", b" ", b" ")
        assert b"Traceback" not in program.raw
    assert path.read_bytes() == before
    status, _, wrong = say(home, "record", PIECES[0], "--minutes", "5")
    assert status == 1
    assert "left alone" in wrong
    assert path.read_bytes() == before


def finished_long_ago(home: Path) -> list[Event]:
    """Add a finished piece of which an early cross can be damaged; return all events."""
    clock = ManualClock(wall=1_600_000_000)
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        braid = start(journal, home, "gutter-pearl")
        braid_on(braid, braid.plan.crosses, clock)
        braid.finish("good")
        return list(journal.events())


def test_damage_in_an_old_piece_is_found_after_the_start(home: Path) -> None:
    """A byte that has changed in a finished piece is found and told while the maker braids on."""
    events = finished_long_ago(home)
    path = home / "journal.db"
    victim = next(e for e in reversed(events) if e.kind == "crossed" and e.values["to"] == 20)
    data = path.read_bytes()
    place = data.index(victim.uuid.encode())
    path.write_bytes(data[:place] + b"X" + data[place + 1 :])
    with Program(home) as program:
        program.wait_for("PATTERNS")
        program.type(b"\x1b[H\r")
        program.wait_for("cross 31 of 72")
        program.wait_for("The journal was damaged")
        program.press(b" ")
        program.wait_for("cross 32 of 72")
        assert b"Traceback" not in program.raw
    after = events_of(home)
    assert len([event for event in events if event not in after]) == 1
