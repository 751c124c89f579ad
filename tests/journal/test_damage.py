from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from bench.journal import damage, schema
from bench.journal import event_rows as table
from bench.journal.errors import Damaged, NotSaved, Unwritable
from bench.journal.events import Entry, Event
from bench.journal.schema import PAGE
from bench.journal.state import replay
from bench.journal.store import Journal
from tests.support.events import said

PIECES = 4
CROSSES = 60


@pytest.fixture
def events(path: Path, start: dict[str, object]) -> list[Event]:
    """Write a journal of some pieces, with patterns that run over several pages, and close it."""
    with Journal.open(path, write=True) as journal:
        for piece in range(PIECES):
            pattern = {"loads": {str(s): "3a 2b 1c " * 150 for s in range(1, 9)}}
            payload = {**start, "title": f"Drop {piece}", "pattern": pattern}
            journal.append(said("piece_started", payload), pieces=f"p{piece}")
        for made in range(CROSSES):
            crossed = {"from": made, "to": made + 1}
            journal.append_many([Entry(said("crossed", crossed), f"p{n}") for n in range(PIECES)])
        return list(journal.events())


def mended(path: Path) -> tuple[list[Event], list[str]]:
    """Open a journal that may be damaged; return its events, and what was said about damage."""
    with Journal.open(path, write=True) as journal:
        journal.check()
        for state in journal.pieces(open_only=False):
            assert state == replay(state.uuid, journal.events(state.uuid))
        assert journal.check()
        return list(journal.events()), list(journal.reports)


def aside(path: Path) -> list[Path]:
    """Return the main files that were set aside."""
    return sorted(path.parent.glob("journal-damaged-*.db"))


def test_flipped_bytes_never_make_another_event(path: Path, events: list[Event]) -> None:
    """Wherever bytes are flipped, each event found is as it was written, and most are found."""
    whole = path.read_bytes()
    chance = random.Random(17)
    for turn in range(24):
        data = bytearray(whole)
        spots = chance.sample(range(100 if turn % 2 else 0, len(data)), 1 + turn % 8)
        for spot in spots:
            data[spot] ^= 1 << chance.randrange(8)
        path.write_bytes(data)
        found, said = mended(path)
        assert all(event in events for event in found)
        assert len(found) >= len(events) - 40 * len(spots)
        if said:
            assert [old.read_bytes() for old in aside(path)] == [bytes(data)]
            assert str(aside(path)[0]) in said[0]
            assert f"{len(found)} events were saved" in said[0]
        else:
            assert found == events
        for old in aside(path):
            old.unlink()


def test_a_head_that_is_gone_loses_no_event(path: Path, events: list[Event]) -> None:
    """With the file's first page wiped out, every event is still found, long ones as well."""
    data = bytearray(path.read_bytes())
    data[:PAGE] = bytes(PAGE)
    path.write_bytes(data)
    found, said = mended(path)
    assert found == events
    assert len(said) == 1
    assert f"{len(events)} events were saved from it." in said[0]


def test_a_truncated_journal_keeps_what_is_left(path: Path, events: list[Event]) -> None:
    """A file cut off anywhere gives what was in its whole pages, and is set aside as it was."""
    whole = path.read_bytes()
    for pages in (1, 5, len(whole) // PAGE - 3, len(whole) // PAGE - 1):
        cut = whole[: pages * PAGE + 100]
        path.write_bytes(cut)
        found, said = mended(path)
        assert len(said) == 1
        assert all(event in events for event in found)
        assert [old.read_bytes() for old in aside(path)] == [cut]
        aside(path)[0].unlink()


@pytest.mark.parametrize("content", [b"", b"not a journal at all\n", bytes(3 * PAGE)])
def test_an_empty_or_senseless_file_is_set_aside(path: Path, content: bytes) -> None:
    """A file without a journal in it is kept under another name, and a new journal begun."""
    path.parent.mkdir()
    path.write_bytes(content)
    found, said = mended(path)
    assert found == []
    assert len(said) == 1
    assert "0 events were saved" in said[0]
    assert [old.read_bytes() for old in aside(path)] == [content]
    assert mended(path) == ([], [])


def crashed(path: Path, start: dict[str, object], to: Path) -> list[Event]:
    """Copy a journal as it lies while it is open: its last events are in the log alone."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
        for made in range(30):
            journal.append(said("crossed", {"from": made, "to": made + 1}), pieces="p")
        to.parent.mkdir()
        for ending in ("", "-wal"):
            source = path.with_name(path.name + ending)
            to.with_name(to.name + ending).write_bytes(source.read_bytes())
        return list(journal.events())


@pytest.mark.parametrize("breaking", [Path.unlink, lambda path: path.write_bytes(b"")])
def test_a_log_alone_gives_its_events(
    path: Path, start: dict[str, object], tmp_path: Path, breaking: Callable[[Path], object]
) -> None:
    """Events that only the log holds are saved when the main file is lost or emptied."""
    copy = tmp_path / "copy" / "journal.db"
    events = crashed(path, start, copy)
    breaking(copy)
    found, said = mended(copy)
    assert found == events
    assert "31 events were saved" in said[0]


def test_a_crash_alone_is_no_damage(path: Path, start: dict[str, object], tmp_path: Path) -> None:
    """A journal left open by a crash is read with its log, and nothing is set aside."""
    copy = tmp_path / "copy" / "journal.db"
    events = crashed(path, start, copy)
    assert mended(copy) == (events, [])


def test_a_damaged_log_loses_no_cross_without_a_word(
    path: Path, start: dict[str, object], tmp_path: Path
) -> None:
    """After a crash, wherever the log is broken, all its events are there or the loss is told.

    In the last commit alone damage cannot be told from a write that the crash cut off.
    """
    copy = tmp_path / "copy" / "journal.db"
    events = crashed(path, start, copy)
    log = copy.with_name("journal.db-wal")
    main, whole = copy.read_bytes(), log.read_bytes()
    frames = (len(whole) - 32) // (PAGE + 24)
    commits = [f for f in range(frames) if whole[36 + f * (PAGE + 24) :][:4] != bytes(4)]
    last = 32 + (commits[-2] + 1) * (PAGE + 24)
    chance = random.Random(5)
    spots = [*range(8, 32, 8), *(32 + f * (PAGE + 24) + 9 for f in range(0, frames, 9))]
    for spot in [*spots, *chance.sample(range(len(whole)), 12)]:
        data = bytearray(whole)
        data[spot] ^= 1 << chance.randrange(8)
        for file in copy.parent.iterdir():
            file.unlink()
        copy.write_bytes(main)
        log.write_bytes(data)
        found, said = mended(copy)
        assert all(event in events for event in found)
        assert len(found) >= len(events) - 1
        assert said or found == events or spot >= last


def test_damage_found_while_reading_is_mended_at_once(path: Path, events: list[Event]) -> None:
    """A broken event met in the middle of reading is left out, and the rest read all the same."""
    data = bytearray(path.read_bytes())
    spot = data.index(b'{"from":40,"to":41}')
    data[spot + 9] ^= 1
    path.write_bytes(data)
    with Journal.open(path, write=True) as journal:
        assert journal.reports == []
        found = list(journal.events())
        assert len(journal.reports) == 1
        assert "1 could not be read" in journal.reports[0]
        assert found == [event for event in events if event in found]
        assert len(found) == len(events) - 1
        journal.append(said("crossed", {"from": 60, "to": 61}), pieces="p1")
        assert journal.state("p1").made == 61


def test_a_broken_checkpoint_is_not_believed(path: Path, events: list[Event]) -> None:
    """A flipped bit in a piece's state is noticed on opening, and the state made anew."""
    data = bytearray(path.read_bytes())
    spots = [n for n in range(len(data)) if data.startswith(b'"made":60', n)]
    assert len(spots) == PIECES
    data[spots[0] + 7] ^= 1
    path.write_bytes(data)
    with Journal.open(path, write=True) as journal:
        assert len(journal.reports) == 1
        assert [state.made for state in journal.pieces()] == [60] * PIECES
        assert list(journal.events()) == events


@pytest.mark.parametrize("text", [f'{{"text":{"[" * 20_000}{"]" * 20_000}}}', "[]", "{", "nul"])
def test_a_crafted_row_that_bears_its_check_is_damage(
    path: Path, events: list[Event], text: str
) -> None:
    """A row that is no event, however deep or broken, is left out like any damage; no crash."""
    row = [*table.to_row(events[-1])]
    row[0], row[12] = "crafted", text
    row[13] = table._crc(row[:13])
    with closing(sqlite3.connect(path)) as db, db:
        seq = db.execute(table._INSERT, (*row, None)).lastrowid
        db.execute("INSERT INTO parts VALUES (1, ?)", (seq,))
    with Journal.open(path, write=False) as journal, pytest.raises(Damaged):
        list(journal.events())
    found, said = mended(path)
    assert found == events
    assert len(said) == 1


def test_a_record_that_runs_in_a_ring_is_left_out(path: Path, events: list[Event]) -> None:
    """A page that names itself as its next ends the record, instead of filling the memory."""
    head, link = b"x" * 10, 2
    with ExitStack() as stack:
        pages = damage._Pages(stack, path)
        data = bytearray(path.read_bytes())
        data[PAGE : PAGE + 4] = (2).to_bytes(4, "big")
        path.write_bytes(data)
        assert len(damage._chain(head, link, 1 << 27, pages, newest=True)) == len(head) + PAGE - 4


def test_a_reader_leaves_damage_alone(path: Path, events: list[Event]) -> None:
    """Opened for reading, a damaged journal is refused in one sentence, and nothing is moved."""
    data = bytearray(path.read_bytes())
    data[100 : 2 * PAGE] = bytes(2 * PAGE - 100)
    path.write_bytes(data)
    with pytest.raises(Damaged, match="is damaged"):
        Journal.open(path, write=False)
    assert path.read_bytes() == data
    assert aside(path) == []
    assert all(event in events for event in mended(path)[0])


def test_a_mending_that_was_cut_off_is_finished(
    path: Path, events: list[Event], monkeypatch: pytest.MonkeyPatch
) -> None:
    """If the program dies between setting aside and putting in place, the next start goes on."""
    data = bytearray(path.read_bytes())
    data[:PAGE] = bytes(PAGE)
    path.write_bytes(data)

    def die(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(schema, "put", die)
        with pytest.raises(KeyboardInterrupt):
            Journal.open(path, write=True)
    assert not path.exists()
    with Journal.open(path, write=True) as journal:
        assert list(journal.events()) == events
        assert "journal-damaged" in journal.reports[0]
        assert [old.read_bytes() for old in aside(path)] == [data]


def test_a_mending_without_room_leaves_all_as_it_was(
    path: Path, events: list[Event], monkeypatch: pytest.MonkeyPatch
) -> None:
    """If the saved events cannot be written, the damaged file stays where it is."""
    data = bytearray(path.read_bytes())
    data[:PAGE] = bytes(PAGE)
    path.write_bytes(data)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("os.rename", full)
        with pytest.raises(Unwritable, match="no space left"):
            Journal.open(path, write=True)
        with Journal.open(path, write=True, even_unsaved=True) as journal:
            recorded = {"text": "x"}
            with pytest.raises(NotSaved):
                journal.append(said("piece_started", start_of(events)), pieces="new")
            with pytest.raises(NotSaved):
                journal.append(said("note", recorded), pieces="new")
    assert path.read_bytes() == data
    assert mended(path)[0] == events


def start_of(events: list[Event]) -> dict[str, object]:
    """Return the payload with which a piece was started."""
    return dict(events[0].values)
