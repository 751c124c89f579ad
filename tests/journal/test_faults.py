from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from bench.journal import event_rows as table
from bench.journal.errors import Locked, NotSaved, Unreadable, Unwritable
from bench.journal.events import Event
from bench.journal.piece_state import PieceState
from bench.journal.state import replay
from bench.journal.store import Journal
from tests.support.clock import ManualClock
from tests.support.events import said


@pytest.fixture
def made(journal: Journal, start: dict[str, object]) -> list[Event]:
    """Make a piece with five crosses."""
    events = [journal.append(said("piece_started", start), pieces="p")]
    events += [cross(journal, made) for made in range(5)]
    return events


def cross(journal: Journal, made: int) -> Event:
    """Make a cross."""
    return journal.append(said("crossed", {"from": made, "to": made + 1}), pieces="p")


def reread(journal: Journal) -> list[Event]:
    """Return what another one finds in the journal's file, checked from end to end."""
    with Journal.open(journal.path, write=False) as reader:
        assert reader.check()
        for state in reader.pieces(open_only=False):
            assert state == replay(state.uuid, reader.events(state.uuid))
        return list(reader.events())


def block(path: Path) -> Path:
    """Take the journal's folder away, and put a file in its place."""
    away = path.parent.with_name("away")
    path.parent.rename(away)
    path.parent.write_text("in the way")
    return away


def test_a_folder_that_is_removed_is_made_again(journal: Journal, made: list[Event]) -> None:
    """The next cross after the data folder was removed brings everything back, and says so."""
    shutil.rmtree(journal.path.parent)
    made.append(cross(journal, 5))
    assert journal.pending == []
    assert len(journal.reports) == 1
    assert "taken away" in journal.reports[0]
    assert reread(journal) == made
    made.append(cross(journal, 6))
    assert reread(journal) == made
    assert len(journal.reports) == 1


@pytest.mark.parametrize("name", ["journal.db", "journal.db-wal", "journal.lock"])
def test_a_file_that_is_removed_is_noticed(journal: Journal, made: list[Event], name: str) -> None:
    """Journal, log or lock removed alone: what was counted is on disk after the next cross."""
    (journal.path.parent / name).unlink()
    made.append(cross(journal, 5))
    assert journal.pending == []
    assert reread(journal) == made
    with pytest.raises(Locked):
        Journal.open(journal.path, write=True)
    journal.close()
    with Journal.open(journal.path, write=True) as again:
        assert list(again.events()) == made
        assert again.check()


def test_another_connection_knows_what_waits(
    journal: Journal, made: list[Event], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the disk does not take counts for whoever reads beside, once only when it is written."""
    full = monkeypatch.context()
    with full as patched:
        patched.setattr(table, "add", _no_room)
        with pytest.raises(NotSaved):
            cross(journal, 5)
        with journal.another_reader() as reader:
            assert reader.state("p") == journal.state("p")
            assert [*reader.events("p")] == [*made, journal.pending[0]]
    late = journal.another_reader()
    journal.retry()
    with late:
        assert [*late.events("p")] == [*journal.events("p")]


def test_what_is_written_while_another_connection_reads_is_read_once(
    journal: Journal, made: list[Event], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Saved between two of its reads, an event is in what it gives, and in it one time."""
    with monkeypatch.context() as patched:
        patched.setattr(table, "add", _no_room)
        with pytest.raises(NotSaved):
            cross(journal, 5)
    told = [*made, journal.pending[0]]
    with journal.another_reader() as reader:
        events = reader.events()
        begun = [next(events)]
        journal.retry()
        assert [*begun, *events] == told
    with monkeypatch.context() as patched:
        patched.setattr(table, "add", _no_room)
        with pytest.raises(NotSaved):
            cross(journal, 6)
    with journal.another_reader() as reader, monkeypatch.context() as patched:
        kept = table.kept

        def saved_meanwhile(db: sqlite3.Connection, piece: str) -> PieceState | None:
            journal.retry()
            return kept(db, piece)

        patched.setattr(table, "kept", saved_meanwhile)
        assert reader.state("p") == journal.state("p")
        assert reader.state("p").made == 7


def _no_room(*_: object) -> int:
    raise OSError(28, "No space left on device")


def test_nothing_counts_as_saved_while_the_folder_is_gone(
    journal: Journal, made: list[Event], clock: ManualClock
) -> None:
    """Crosses without a folder are kept as not saved, and written once there is one again."""
    block(journal.path)
    for number in (5, 6, 7):
        clock.advance(10)
        with pytest.raises(NotSaved) as caught:
            cross(journal, number)
        made.append(journal.pending[-1])
        assert len(journal.pending) == number - 4
        assert str(caught.value).startswith("Not saved: ")
    assert journal.state("p").made == 8
    assert list(journal.events("p")) == made
    assert list(journal.events()) == made
    assert journal.counts()["pending"] == 3
    with pytest.raises(NotSaved):
        journal.retry()
    journal.path.parent.unlink()
    made.append(cross(journal, 8))
    assert journal.pending == []
    assert reread(journal) == made
    assert [event.number for event in made] == list(range(1, 11))
    assert made[-2].instant.wall - made[-3].instant.wall == 10


def test_closing_saves_what_can_be_saved(journal: Journal, made: list[Event]) -> None:
    """What was not saved is tried once more when the journal is closed."""
    block(journal.path)
    with pytest.raises(NotSaved):
        cross(journal, 5)
    unsaved = list(journal.pending)
    journal.path.parent.unlink()
    journal.close()
    assert reread(journal) == [*made, *unsaved]


def test_another_journal_in_its_place_is_joined(
    journal: Journal, made: list[Event], start: dict[str, object]
) -> None:
    """A journal that was put where ours was keeps its events, and gets ours as well."""
    shutil.rmtree(journal.path.parent)
    with Journal.open(journal.path, write=True) as other:
        other.append(said("piece_started", start), pieces="q")
        others = list(other.events())
    made.append(cross(journal, 5))
    assert journal.pending == []
    assert sorted(e.uuid for e in reread(journal)) == sorted(e.uuid for e in [*made, *others])
    assert {state.uuid for state in journal.pieces()} == {"p", "q"}
    assert cross(journal, 6).after == (made[-1].uuid,)
    assert "joined" in journal.reports[0]


def test_a_foreign_file_in_its_place_is_left_alone(journal: Journal, made: list[Event]) -> None:
    """While another program's file lies where the journal was, crosses are not saved there."""
    path = journal.path
    path.unlink()
    path.mkdir()
    with pytest.raises(NotSaved, match="is a folder"):
        cross(journal, 5)
    path.rmdir()
    cross(journal, 6)
    assert len(reread(journal)) == len(made) + 2


def test_another_writer_in_its_place_is_not_disturbed(journal: Journal, made: list[Event]) -> None:
    """If the lock was lost to another process, crosses are not saved until that one ends."""
    shutil.rmtree(journal.path.parent)
    with Journal.open(journal.path, write=True), pytest.raises(NotSaved, match="Another"):
        cross(journal, 5)
    cross(journal, 6)
    assert len(reread(journal)) == len(made) + 2


def test_a_bench_without_a_journal_goes_on(path: Path, start: dict[str, object]) -> None:
    """Where no journal can be written, a maker can still braid; it is saved once it can be."""
    path.parent.write_text("in the way")
    with pytest.raises(Unwritable, match="cannot be written"):
        Journal.open(path, write=True)
    with Journal.open(path, write=True, even_unsaved=True) as journal:
        with pytest.raises(NotSaved):
            journal.append(said("piece_started", start), pieces="p")
        with pytest.raises(NotSaved):
            cross(journal, 0)
        assert [state.made for state in journal.pieces()] == [1]
        started = journal.started("p")
        assert started is not None
        assert started.hash == "0f"
        path.parent.unlink()
        cross(journal, 1)
        assert journal.pending == []
        assert journal.state("p").made == 2
        assert [event.kind for event in reread(journal)] == ["piece_started", "crossed", "crossed"]


FULL = """
import resource, sys
from pathlib import Path
from bench.journal.errors import NotSaved
from bench.journal.payloads import Crossed, Note
from bench.journal.store import Journal

journal = Journal.open(Path(sys.argv[1]), write=True)
made = journal.state("p").made
size = journal.path.with_name("journal.db-wal").stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 30_000, resource.RLIM_INFINITY))
while not journal.pending:
    try:
        journal.append(Crossed(made, made + 1), pieces="p")
    except NotSaved as error:
        pass
    made += 1
for _ in range(3):
    try:
        journal.append(Note("x" * 30_000), pieces="p")
    except NotSaved as error:
        said = str(error)
assert len(journal.pending) == 4, journal.pending
with Journal.open(journal.path, write=False) as reader:
    saved = reader.state("p").made
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
journal.retry()
assert not journal.pending
print(saved, made, said)
"""


def test_a_full_disk_loses_nothing(journal: Journal, made: list[Event]) -> None:
    """On a full disk crosses count as not saved, and are written when there is room again."""
    pytest.importorskip("resource")
    journal.close()
    run = subprocess.run(
        [sys.executable, "-c", FULL, str(journal.path)], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    saved, counted, said = run.stdout.strip().split(" ", 2)
    assert int(saved) == int(counted) - 1
    assert said.startswith("Not saved: ")
    events = reread(journal)
    assert [event.number for event in events] == list(range(1, len(events) + 1))
    kinds = [event.kind for event in events]
    assert kinds.count("crossed") == int(counted)
    assert kinds[-3:] == ["note"] * 3


def test_a_disk_that_gives_nothing_is_told_in_a_sentence(journal: Journal) -> None:
    """An error of the disk while reading is no damage: it is told, and nothing is set aside."""

    def fail(db: sqlite3.Connection) -> None:
        raise sqlite3.OperationalError("disk I/O error")

    with pytest.raises(Unreadable, match=r"cannot be read: .*journal.db: disk I/O error\.$"):
        journal._read(fail)
    assert journal.reports == []
    assert list(journal.path.parent.glob("*damaged*")) == []
