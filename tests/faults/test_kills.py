from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.faults.folder_kills import WAYS, folder_kills
from tests.faults.kills import COMPARED, LATE, SCENES, Found, import_kills, kills, one_kill, too_few
from tests.faults.shims import NOT_HERE, can_build
from tests.faults.torn_copies import NEVER_SYNCED, torn_copies
from tests.support.homes import furnished


def test_every_cross_shown_as_counted_is_on_disk() -> None:
    """Killed in every scene at a random moment, the program has lost nothing that it showed."""
    found = kills(len(SCENES), seed=1)
    assert found.lost == []
    assert found.compared[COMPARED] >= 6


def test_a_run_that_compares_too_little_fails() -> None:
    """Of 1,000 kills 900 must have been held against a screen."""
    assert [too_few(compared, 1000) for compared in (899, 900)] == [True, False]


def test_crosses_that_are_shown_before_they_are_saved_are_found(tmp_path: Path) -> None:
    """A program that saves late loses what it showed, and the kills tell that."""
    home, random_, found = furnished(tmp_path), random.Random(1), Found()
    for _ in range(10):
        one_kill(home, "braiding", random_, found, LATE)
        if any("shown one after the other" in line for line in found.lost):
            return
    pytest.fail("nothing was missed of what was shown too early")


def test_a_kill_while_the_folder_is_replaced_loses_nothing_that_was_shown() -> None:
    """Killed as its folder, journal or lock is taken away, the program has kept what it showed."""
    found = folder_kills(len(WAYS), seed=4)
    assert found.lost == []
    assert found.compared[COMPARED] >= 3  # a kill may land in the middle of painting


def test_a_killed_import_takes_in_all_or_nothing() -> None:
    """An import killed at a random moment leaves all of its events in the journal, or none."""
    assert import_kills(4, seed=3).lost == []


@pytest.mark.skipif(not can_build(), reason=NOT_HERE)
def test_a_power_cut_loses_nothing_that_was_shown() -> None:
    """Whatever of the last writes reached the disk, each cross that the screen showed is there."""
    found = torn_copies(20, seed=5)
    assert found.lost == []
    assert found.compared[COMPARED] >= 10
    assert found.compared["copies with writes that were not synced"] >= 3
    assert found.compared["syncs"] >= 20


@pytest.mark.skipif(not can_build(), reason=NOT_HERE)
def test_a_power_cut_would_lose_what_is_not_synced() -> None:
    """Where the program is made to leave the syncing to the system, the loss is found."""
    assert torn_copies(6, seed=5, launch=NEVER_SYNCED).lost
