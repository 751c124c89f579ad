"""A journal to write to, and a piece to write about."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.journal.store import Journal
from tests.support.clock import ManualClock


@pytest.fixture
def clock() -> ManualClock:
    """Return a clock that moves only when told."""
    return ManualClock()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the journal of this test lies."""
    return tmp_path / "home" / "journal.db"


@pytest.fixture
def journal(path: Path, clock: ManualClock) -> Iterator[Journal]:
    """Yield a journal that is open for writing."""
    with Journal.open(path, write=True, clock=clock) as journal:
        yield journal


@pytest.fixture
def start() -> dict[str, object]:
    """Return the payload that starts a piece."""
    return {
        "title": "Silver Eaves",
        "pattern_name": "silver-eaves",
        "size": None,
        "colourway": "dusk",
        "pattern": {"loads": {"all": "3a 2b"}, "plain_start": 4},
        "structure": {"places": ["left", "right"]},
        "hash": "0f",
        "commission": None,
    }
