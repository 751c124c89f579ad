from __future__ import annotations

from tests.faults.kills import SCENES, import_kills, kills


def test_every_cross_shown_as_counted_is_on_disk() -> None:
    """Killed in every scene at a random moment, the program has lost nothing that it showed."""
    found = kills(len(SCENES), seed=1)
    assert found.lost == []
    assert sum(found.compared.values()) >= 3


def test_a_killed_import_takes_in_all_or_nothing() -> None:
    """An import killed at a random moment leaves all of its events in the journal, or none."""
    assert import_kills(4, seed=3).lost == []
