from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bench.journal import event_rows as table
from bench.journal import schema
from bench.journal.errors import Refused, Unwritable
from bench.journal.events import Entry
from bench.journal.payloads import kinds
from bench.journal.piece_state import PieceState
from bench.journal.state import replay
from bench.journal.store import Journal
from tests.support.clock import ManualClock
from tests.support.events import said


def test_an_event_is_filled_in_by_the_journal(
    journal: Journal, clock: ManualClock, start: dict[str, object]
) -> None:
    """Number, bench, forerunner, sitting, moment and version come from the journal."""
    first = journal.append(said("piece_started", start), pieces="p", lot="drops")
    clock.advance(8.0)
    second = journal.append(said("crossed", {"from": 0, "to": 1}), pieces="p")
    assert (first.number, second.number) == (1, 2)
    assert (first.after, second.after) == ((None,), (first.uuid,))
    assert first.bench == second.bench == journal.bench
    assert first.sitting == second.sitting == journal.sitting
    assert second.instant == clock.now()
    assert (second.kind, second.version, second.piece) == ("crossed", 1, "p")
    assert list(journal.events("p")) == [first, second]
    assert journal.started("p") == first.payload
    assert journal.started("q") is None
    assert journal.state("p").lot == "drops"


def test_what_was_written_is_there_on_opening(path: Path, start: dict[str, object]) -> None:
    """Events, states and running numbers go on where the last opening left them."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
        journal.append(said("crossed", {"from": 0, "to": 7}), pieces="p")
        events, state, bench = list(journal.events()), journal.state("p"), journal.bench
    with Journal.open(path, write=True) as journal:
        assert list(journal.events()) == events
        assert journal.state("p") == state
        assert journal.bench == bench
        assert journal.append(said("crossed", {"from": 7, "to": 8}), pieces="p").number == 3
        assert next(journal.events()).sitting != journal.sitting


def test_several_pieces_in_the_making(journal: Journal, start: dict[str, object]) -> None:
    """Pieces stand side by side; those that are finished leave the list of the open ones."""
    for piece in "abc":
        journal.append(said("piece_started", {**start, "title": piece}), pieces=piece)
    journal.append(said("crossed", {"from": 0, "to": 3}), pieces="b")
    journal.append(said("finished", {"quality": "good"}), pieces="a")
    assert [state.uuid for state in journal.pieces()] == ["b", "c"]
    assert [state.status for state in journal.pieces(open_only=False)] == [
        "good",
        "in the making",
        "in the making",
    ]
    assert journal.state("b").made == 3
    assert journal.state("c").made == 0
    assert journal.counts() == {"events": 5, "pieces": 3, "open": 2, "pending": 0}
    with pytest.raises(KeyError):
        journal.state("d")


def test_batch_work_is_shared_and_each_piece_keeps_its_chain(
    journal: Journal, start: dict[str, object]
) -> None:
    """One event for two pieces names, for each, its share and the event before."""
    a = journal.append(said("piece_started", start), pieces="a")
    b = journal.append(said("piece_started", start), pieces="b")
    both = journal.append(
        said("stage_started", {"stage": "load"}), pieces=[("a", 0.25), ("b", 0.75)]
    )
    assert both.pieces == (("a", 0.25), ("b", 0.75))
    assert both.after == (a.uuid, b.uuid)
    assert list(journal.events("b")) == [b, both]
    assert journal.state("a").stage == journal.state("b").stage == "load"


def test_several_events_in_one_go(journal: Journal, start: dict[str, object]) -> None:
    """A list of events is written as one, each following the one before."""
    events = journal.append_many(
        [
            Entry(said("piece_started", start), "p"),
            Entry(said("stage_started", {"stage": "braid"}), "p"),
            Entry(said("crossed", {"from": 0, "to": 4}), "p"),
        ]
    )
    assert [event.after for event in events] == [(None,), (events[0].uuid,), (events[1].uuid,)]
    assert journal.state("p").made == 4


def test_events_can_be_picked(journal: Journal, start: dict[str, object]) -> None:
    """Events are found by piece and by kind."""
    for piece in "ab":
        journal.append(said("piece_started", start), pieces=piece)
        journal.append(said("paused"), pieces=piece)
    assert [event.number for event in journal.events(kind="paused")] == [2, 4]
    assert [event.number for event in journal.events("b", kind="paused")] == [4]
    assert list(journal.events("nobody")) == []


def test_odd_text_is_kept(journal: Journal, start: dict[str, object]) -> None:
    """Notes with control characters, markup or half a surrogate come back as they were typed."""
    journal.append(said("piece_started", start), pieces="p")
    text = "[red]\x1b[31m\x00 é 🪡 \udc80 \u2028"
    assert journal.append(said("note", {"text": text}), pieces="p").values == {"text": text}
    assert next(journal.events(kind="note")).values == {"text": text}


@pytest.mark.on_disk
def test_a_commit_reaches_the_disk(journal: Journal, path: Path) -> None:
    """The writing connection has a write-ahead log and waits for the disk at each commit."""
    db = journal._hold.db
    assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert db.execute("PRAGMA synchronous").fetchone() == (2,)
    with closing(sqlite3.connect(path)) as other:
        assert other.execute("PRAGMA application_id").fetchone() == (schema.APPLICATION_ID,)
        assert other.execute("PRAGMA user_version").fetchone() == (len(schema.MIGRATIONS),)


def test_events_are_never_changed_or_removed(
    journal: Journal, path: Path, start: dict[str, object]
) -> None:
    """The file itself refuses to change or remove an event."""
    journal.append(said("piece_started", start), pieces="p")
    with closing(sqlite3.connect(path)) as other:
        for statement in ("UPDATE events SET wall = 0", "DELETE FROM events"):
            with pytest.raises(sqlite3.IntegrityError, match="events are never"):
                other.execute(statement)
        with pytest.raises(sqlite3.IntegrityError):
            other.execute("INSERT INTO bench VALUES (1, 'x', 'many')")


def test_a_checkpoint_that_lags_or_is_older_is_replayed(
    path: Path, start: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A checkpoint is used only if it is of this version and holds the piece's last event."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
        journal.append(said("crossed", {"from": 0, "to": 7}), pieces="p")
        right = journal.state("p")
    for statement in ("UPDATE pieces SET seq = 1, state = '{}'", "UPDATE pieces SET version = 0"):
        with closing(sqlite3.connect(path)) as other, other:
            other.execute(statement)
        with Journal.open(path, write=False) as journal:
            assert journal.state("p") == right
        with Journal.open(path, write=True) as journal:
            assert journal.state("p") == right
            assert journal.pieces() == [right]


def test_opening_replays_nothing(path: Path, start: dict[str, object]) -> None:
    """Listing the pieces in the making reads no event, and looks at no other piece."""
    with Journal.open(path, write=True) as journal:
        for piece in "pq":
            journal.append(said("piece_started", start), pieces=piece)
    seen: list[str] = []
    with Journal.open(path, write=True) as journal:
        journal._hold.db.set_trace_callback(seen.append)
        assert len(journal.pieces()) == 2
        journal._hold.db.set_trace_callback(None)
        assert seen
        for statement in seen:
            assert "FROM events" not in statement
            plan = journal._hold.db.execute(f"EXPLAIN QUERY PLAN {statement}").fetchall()
            assert not [step for step in plan if "SCAN" in step[3]], plan


def test_a_reader_looks_on_beside_the_writer(
    journal: Journal, path: Path, start: dict[str, object]
) -> None:
    """A journal opened for reading follows what is written elsewhere, and writes nothing."""
    journal.append(said("piece_started", start), pieces="p")
    with Journal.open(path, write=False) as reader:
        assert reader.state("p").made == 0
        journal.append(said("crossed", {"from": 0, "to": 2}), pieces="p")
        assert reader.state("p").made == 2
        assert reader.counts()["events"] == 2
        with pytest.raises(Unwritable):
            reader.append(said("paused"), pieces="p")
    assert journal.append(said("crossed", {"from": 2, "to": 3}), pieces="p").number == 3


def test_reading_what_is_not_there(path: Path) -> None:
    """A journal that was never begun reads as an empty one, and is not made by reading."""
    with Journal.open(path, write=False) as reader:
        assert reader.pieces() == []
        assert list(reader.events()) == []
    assert not path.parent.exists()


@pytest.mark.parametrize("write", [True, False])
def test_a_newer_journal_is_left_alone(path: Path, write: bool) -> None:
    """A file from a newer program is refused in one sentence, and not touched."""
    Journal.open(path, write=True).close()
    with closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA user_version = 99")
    before = path.read_bytes()
    with pytest.raises(Refused, match="newer braid-bench"):
        Journal.open(path, write=write)
    assert path.read_bytes() == before
    assert not list(path.parent.glob("*damaged*"))


@pytest.mark.parametrize("write", [True, False])
def test_another_programs_file_is_left_alone(path: Path, write: bool) -> None:
    """Another program's SQLite file is refused in one sentence, and not touched."""
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE recipes(name TEXT)")
    before = path.read_bytes()
    with pytest.raises(Refused, match="another program"):
        Journal.open(path, write=write)
    assert path.read_bytes() == before


def test_a_folder_in_its_place(path: Path) -> None:
    """A folder with the journal's name is refused in one sentence."""
    path.mkdir(parents=True)
    with pytest.raises(Refused, match="is a folder"):
        Journal.open(path, write=True)


def test_a_new_journal_never_takes_an_old_ones_place(path: Path) -> None:
    """A journal that has just been built is not put over a file that is there."""
    Journal.open(path, write=True).close()
    before = path.read_bytes()
    with pytest.raises(FileExistsError):
        schema.create(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("kind", sorted(set(kinds()) - {"crossed"}))
def test_events_of_a_kind_are_found_without_reading_the_others(journal: Journal, kind: str) -> None:
    """Seeking events of any kind but crosses goes by the index, whatever else the journal holds."""
    plan = journal._hold.db.execute(f"EXPLAIN QUERY PLAN {table.some_of(kind)}", (0, kind, 1000))
    assert [row[3] for row in plan] == [
        "SEARCH events USING INDEX events_kind (kind=? AND rowid>?)"
    ]


def test_crosses_and_all_events_are_read_in_their_order(
    journal: Journal, start: dict[str, object]
) -> None:
    """Of one kind or all, events come as they were written, in chunks that meet."""
    journal.append(said("piece_started", start), pieces="p")
    for made in range(3):
        journal.append(said("crossed", {"from": made, "to": made + 1}), pieces="p")
        journal.append(said("note", {"text": str(made)}), pieces="p")
    db = journal._hold.db
    kinds = [event.kind for _, event in table.some(db, 0, 99, None)]
    assert kinds == ["piece_started", *["crossed", "note"] * 3]
    assert [seq for seq, _ in table.some(db, 0, 99, "crossed")] == [2, 4, 6]
    assert [seq for seq, _ in table.some(db, 3, 1, "note")] == [5]


def test_a_path_with_odd_signs(tmp_path: Path, start: dict[str, object]) -> None:
    """Signs that mean something in a web address are just signs in a folder's name."""
    path = tmp_path / "a?b#c %20 é" / "journal.db"
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
    assert path.exists()
    with Journal.open(path, write=False) as journal:
        assert [state.uuid for state in journal.pieces()] == ["p"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="needs two users")
def test_reading_in_a_folder_that_cannot_be_written(
    tmp_path: Path, start: dict[str, object]
) -> None:
    """A closed journal is read by one who may not write; one with a log left over says why not."""
    path = tmp_path / "journal.db"
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
    assert as_nobody(path) == "1"
    with Journal.open(path, write=True) as journal:
        journal.append(said("paused"), pieces="p")
        for ending in ("", "-wal"):
            left = tmp_path / "left" / f"journal.db{ending}"
            left.parent.mkdir(exist_ok=True)
            left.write_bytes((tmp_path / f"journal.db{ending}").read_bytes())
    assert "cannot be written, and its last events lie in journal.db-wal" in as_nobody(
        tmp_path / "left" / "journal.db"
    )


def as_nobody(path: Path) -> str:
    """Count the pieces of a journal as a user who may only read, or return what was said."""
    for folder in [path.parent, *path.parents]:
        if folder.stat().st_uid == os.geteuid() and folder != Path("/"):
            folder.chmod(folder.stat().st_mode | 0o055)
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setuid(65534)
            try:
                with Journal.open(path, write=False) as journal:
                    said = str(len(journal.pieces()))
            except Unwritable as error:
                said = str(error)
            os.write(write, said.encode())
        finally:
            os._exit(0)
    os.close(write)
    os.waitpid(child, 0)
    with os.fdopen(read) as answer:
        return answer.read()


def test_state_and_replay_agree(journal: Journal, start: dict[str, object]) -> None:
    """The state at hand is what the events add up to."""
    journal.append(said("piece_started", start), pieces="p")
    for made in range(20):
        journal.append(said("crossed", {"from": made, "to": made + 1}), pieces="p")
    assert journal.state("p") == replay("p", journal.events("p"))
    assert journal.state("p") != PieceState("p")
