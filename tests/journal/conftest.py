"""A journal to write to, and a piece to write about."""

from __future__ import annotations

import os
import subprocess
import sys
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


BESIDE = """
import itertools, os, sqlite3, sys, time
from contextlib import closing
turns = itertools.cycle(("PASSIVE", "FULL", "RESTART", "TRUNCATE"))
while os.getppid() == int(sys.argv[2]):
    try:
        with closing(sqlite3.connect(f"file:{sys.argv[1]}?mode=rw", uri=True, timeout=0.05)) as db:
            for _ in range(20):
                db.execute(f"PRAGMA wal_checkpoint({next(turns)})").fetchone()
                db.execute("SELECT count(*) FROM events").fetchone()
                time.sleep(0.002)
    except sqlite3.Error:
        time.sleep(0.002)
"""
"""A process that writes the log of a journal back, and reads it, again and again."""


@pytest.fixture(autouse=True)
def _beside(path: Path) -> Iterator[None]:
    """With BESIDE in the environment: another process at each test's journal, all the time."""
    if not os.environ.get("BESIDE"):
        yield
        return
    other = subprocess.Popen([sys.executable, "-c", BESIDE, str(path), str(os.getpid())])
    yield
    other.kill()
    other.wait()
