from __future__ import annotations

from pathlib import Path

from tests.faults.board_kills import board_kills
from tests.faults.sketch_kills import sketch_kills


def test_a_killed_sketch_has_lost_nothing(tmp_path: Path) -> None:
    """Killed at random moments, also while its log is written anew, a sketch is as it was shown."""
    assert sketch_kills(tmp_path, 10, seed=1) == []


def test_a_killed_board_has_lost_nothing() -> None:
    """Killed while beads are laid, the program has in its log what its screen showed."""
    assert board_kills(1, seed=1) == []
