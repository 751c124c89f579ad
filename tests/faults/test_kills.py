from __future__ import annotations

from tests.faults.kills import SCENES, import_kills, kills
from tests.faults.torn_copies import torn_copies


def test_every_cross_shown_as_counted_is_on_disk() -> None:
    """Killed in every scene at a random moment, the program has lost nothing that it showed."""
    found = kills(len(SCENES), seed=1)
    assert found.lost == []
    assert found.compared["kills with a count on a screen before"] >= 3


def test_a_killed_import_takes_in_all_or_nothing() -> None:
    """An import killed at a random moment leaves all of its events in the journal, or none."""
    assert import_kills(4, seed=3).lost == []


def test_a_power_cut_loses_nothing_that_was_shown() -> None:
    """A copy whose last write is torn opens soundly, with every cross that the screen showed."""
    found = torn_copies(20, seed=5)
    assert found.lost == []
    assert found.compared["copies with a count on the screen"] >= 10
