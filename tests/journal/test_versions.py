from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bench.journal import event_rows as table
from bench.journal import schema
from bench.journal.errors import NotSaved, Refused, Unwritable
from bench.journal.events import Event
from bench.journal.store import Journal
from tests.support.events import said


def test_a_new_version_replays_only_what_is_in_the_making(
    path: Path, start: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    """After an update of the program, pieces that are done are neither replayed nor forgotten."""
    with Journal.open(path, write=True) as journal:
        for piece in "pqr":
            journal.append(said("piece_started", start), pieces=piece)
        journal.append(said("finished", {"quality": "good"}), pieces="q")
        journal.append(said("given_up", {"reason": "slipped"}), pieces="r")
        ends = {piece: journal.state(piece).mark for piece in "qr"}
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("UPDATE pieces SET version = version - 1")
    replayed: list[str] = []
    of_piece = table.of_piece

    def noted(db: sqlite3.Connection, piece: str) -> list[Event]:
        replayed.append(piece)
        return of_piece(db, piece)

    monkeypatch.setattr(table, "of_piece", noted)
    with Journal.open(path, write=True) as journal:
        assert [state.uuid for state in journal.pieces()] == ["p"]
        assert journal.ended() == ends
        assert replayed == ["p"]
        journal.append(said("reopened"), pieces="q")
        assert journal.ended() == {"r": ends["r"]}
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("UPDATE pieces SET version = 99 WHERE uuid = 'p'")
        other.execute("UPDATE pieces SET seq = 1 WHERE uuid = 'r'")
    with Journal.open(path, write=False) as journal:
        assert journal.ended() == {"p": "", "r": ""}
        assert {state.uuid for state in journal.pieces()} == {"p", "q"}


def test_an_end_that_is_not_saved_leaves_no_mark(path: Path, start: dict[str, object]) -> None:
    """A piece of which something is pending has no mark: what is kept of it is read anew."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
        path.parent.rename(path.parent.with_name("away"))
        path.parent.write_text("in the way")
        with pytest.raises(NotSaved):
            journal.append(said("finished", {"quality": "good"}), pieces="p")
        assert journal.ended() == {"p": ""}


def test_an_older_file_is_brought_up_to_date(
    path: Path, start: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A step to a newer version is made once, keeps the events, and all or nothing."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
        events = list(journal.events())
    broken = "CREATE TABLE extra(x INTEGER) STRICT; CREATE TABLE bench(x INTEGER) STRICT;"
    newest = len(schema.MIGRATIONS) + 1
    monkeypatch.setattr(schema, "MIGRATIONS", [*schema.MIGRATIONS, broken])
    monkeypatch.setattr(schema, "OLDEST_READ", newest)
    with pytest.raises(Unwritable):
        Journal.open(path, write=True)
    with pytest.raises(Refused, match="older"):
        Journal.open(path, write=False)
    schema.MIGRATIONS[-1] = "CREATE TABLE extra(x INTEGER) STRICT;"
    with Journal.open(path, write=True) as journal:
        assert list(journal.events()) == events
        assert journal._hold.db.execute("PRAGMA user_version").fetchone() == (newest,)
    Journal.open(path, write=True).close()


def make_old(path: Path) -> None:
    """Make a journal what it was before events could be sought by their kind."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("DROP INDEX events_kind")
        db.execute("PRAGMA user_version = 1")


def test_a_journal_of_the_first_version_goes_on(path: Path, start: dict[str, object]) -> None:
    """An old journal is read as it lies, and gets what it lacks when it is opened for writing."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
        journal.append(said("crossed", {"from": 0, "to": 1}), pieces="p")
        events = list(journal.events())
    make_old(path)
    before = path.read_bytes()
    with Journal.open(path, write=False) as journal:
        assert list(journal.events()) == events
        assert [event.kind for event in journal.events(kind="piece_started")] == ["piece_started"]
        assert journal.check()
    assert path.read_bytes() == before
    with Journal.open(path, write=True) as journal:
        assert list(journal.events()) == events
        assert journal.reports == []
        assert journal.check()
        assert len(schema.statements(journal._hold.db)) == len(schema._ours(2))
    assert not list(path.parent.glob("*damaged*"))
