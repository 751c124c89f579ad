"""A piece that went on at two benches: known until the place is set for every branch."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from bench.journal.events import Entry, Event, payload_of
from bench.journal.payloads import Crossed, PlaceSet
from bench.journal.state import replay
from bench.journal.store import Journal
from tests.support.events import said


def cross(event: Event, uuid: str, number: int, to: int) -> Event:
    """A cross that another bench has made after an event of this one."""
    return Event(
        uuid, "elsewhere", number, (event.uuid,), "s", event.pieces, None, event.instant, "crossed",
        1, payload_of("crossed", 1, {"from": to - 1, "to": to}),
    )  # fmt: skip


def test_each_branch_is_known_until_the_place_is_set_for_it(
    journal: Journal, start: dict[str, object]
) -> None:
    """A set place takes in the branches that it names; one that grows later is told anew."""
    first = journal.append_many(
        [Entry(said("piece_started", start), "p"), Entry(Crossed(0, 3), "p")]
    )[-1]
    mine = journal.append(Crossed(3, 4), pieces="p")
    there = cross(first, "there-1", 9, 4)
    merged = journal.merge([there, cross(there, "there-2", 10, 5)])
    assert "carried on at two benches" in merged.warnings[0]
    state = journal.state("p")
    assert state.made == 5
    assert state.elsewhere == ((mine.uuid, 4),)
    journal.append(PlaceSet(5, 4, ("no such event",)), pieces="p")
    assert journal.state("p").elsewhere == state.elsewhere
    journal.append(PlaceSet(4, 6, (mine.uuid,)), pieces="p")
    assert journal.state("p").elsewhere == ()
    grown = cross(mine, "grown", 30, 5)
    journal.merge([grown])
    state = journal.state("p")
    assert (state.made, state.elsewhere) == (6, (("grown", 5),))
    assert state == replay("p", journal.events("p"))


def test_a_journal_laid_in_its_place_that_went_on_is_told(
    path: Path, journal: Journal, start: dict[str, object], tmp_path: Path
) -> None:
    """Joined with a copy that counted on by itself, the journal reports the piece by name."""
    journal.append_many([Entry(said("piece_started", start), "p"), Entry(Crossed(0, 3), "p")])
    other = tmp_path / "other" / "journal.db"
    other.parent.mkdir()
    with closing(sqlite3.connect(path)) as db, closing(sqlite3.connect(other)) as copy:
        db.backup(copy)
    with Journal.open(other, write=True) as elsewhere:
        elsewhere.append(Crossed(3, 9), pieces="p")
    journal.append(Crossed(3, 4), pieces="p")
    other.rename(path)
    journal.append(Crossed(4, 5), pieces="p")
    assert any("carried on at two benches" in report for report in journal.reports)
    assert len(journal.state("p").elsewhere) == 1
    assert {e.values["to"] for e in journal.events("p", "crossed")} == {3, 4, 5, 9}
    assert journal.check()
    assert list(path.parent.glob("journal-joined-*.db"))
