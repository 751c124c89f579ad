"""A large import: how far it is is told, it can be stopped, and its size is no matter."""

from __future__ import annotations

import io
import tracemalloc
from pathlib import Path

import pytest

from bench.journal import event_rows as table
from bench.journal.events import Entry
from bench.journal.payloads import Crossed
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl, import_jsonl
from tests.support.events import said


def long_piece(journal: Journal, start: dict[str, object], crosses: int) -> str:
    """A piece with many crosses, as JSON lines."""
    begun = Entry(said("piece_started", start), "p")
    made = (Entry(Crossed(at, at + 1), "p") for at in range(crosses))
    journal.append_many([begun, *made])
    stream = io.StringIO()
    export_jsonl(journal, stream)
    return stream.getvalue()


def test_an_import_that_is_stopped_leaves_nothing(
    journal: Journal, start: dict[str, object], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Interrupted after two thousand lines, which were told, nothing is there; again, all is."""
    text = long_piece(journal, start, 2500)
    told: list[int] = []

    def stop_at_2000(lines: int) -> None:
        told.append(lines)
        if lines == 2000:
            raise KeyboardInterrupt

    path = tmp_path_factory.mktemp("second") / "journal.db"
    with Journal.open(path, write=True) as second:
        with pytest.raises(KeyboardInterrupt):
            import_jsonl(second, io.StringIO(text), tell=stop_at_2000)
        assert told == [1000, 2000]
        assert second.counts()["events"] == 0
        assert import_jsonl(second, io.StringIO(text)).added == 2501
        assert second.state("p").made == 2500


def test_a_long_piece_is_replayed_in_little_memory(
    journal: Journal, start: dict[str, object]
) -> None:
    """Replaying a piece of 3,000 events for its checkpoint holds a few of them at a time."""
    long_piece(journal, start, 3000)
    db = journal._hold.db
    db.execute("BEGIN IMMEDIATE")
    tracemalloc.start()
    state, branches = table.renew(db, "p", {})
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    db.execute("ROLLBACK")
    assert (state.made, branches) == (3000, [])
    assert peak < 300_000


def test_an_import_holds_a_few_events_at_a_time(
    journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """A thousand events more take no more memory than twenty bytes for each."""
    lines = long_piece(journal, start, 1200).splitlines(keepends=True)
    peaks = []
    for count in (201, 1201):
        stream = io.StringIO("".join(lines[:count]))
        with Journal.open(tmp_path / f"{count}" / "journal.db", write=True) as other:
            tracemalloc.start()
            assert import_jsonl(other, stream).added == count
            peaks.append(tracemalloc.get_traced_memory()[1])
            tracemalloc.stop()
    assert peaks[1] - peaks[0] < 1000 * 20
