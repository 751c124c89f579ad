"""A backup is made when hands rest, not oftener than it must, and what hinders it is said."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from bench.journal.backup_files import backups
from bench.journal.payloads import Recorded
from bench.journal.store import Journal
from bench.screens.journal_watch import Watch

DAY = dt.date(2026, 11, 29)


@pytest.fixture
def watch(home: Path) -> Watch:
    """A watch over a journal with one event."""
    journal = Journal.open(home / "journal.db", write=True)
    journal.append(
        Recorded("x", None, None, None, 3600.0, None, 60, None, None, "good"), pieces="p"
    )
    return Watch(journal)


def test_it_waits_for_rest_and_is_made_once(watch: Watch, monkeypatch: pytest.MonkeyPatch) -> None:
    """While keys come none is made; at rest one is, and not again for an hour."""
    assert not watch.wants_backup(DAY)
    monkeypatch.setattr("bench.screens.journal_watch.AT_REST_S", 0.0)
    assert watch.wants_backup(DAY)
    assert watch.back_up(DAY, lambda: False) == ""
    assert watch.journal is not None
    assert [backup.counts() for backup in backups(watch.journal.folder)] == [(1, 1)]
    assert not watch.wants_backup(DAY + dt.timedelta(1))
    watch.close()


def test_what_hinders_it_is_said(watch: Watch) -> None:
    """Where no backup can be made the maker is told why."""
    assert watch.journal is not None
    (watch.journal.folder / "backups").write_text("in the way")
    assert watch.back_up(DAY, lambda: False).startswith("No backup of the journal could be made")
    watch.close()
