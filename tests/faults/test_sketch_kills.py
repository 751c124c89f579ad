from __future__ import annotations

from pathlib import Path

from tests.faults.sketch_kills import sketch_kills


def test_a_killed_sketch_has_lost_nothing(tmp_path: Path) -> None:
    """Killed at random moments, also while its log is written anew, a sketch is as it was shown."""
    assert sketch_kills(tmp_path, 10, seed=1) == []
