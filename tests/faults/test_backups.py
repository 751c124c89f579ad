from __future__ import annotations

import time
from pathlib import Path

import pytest

from bench.journal.backup_files import backups
from tests.faults.test_disk import soundly_made
from tests.support.homes import furnished
from tests.support.terminal import LAUNCH, Program

SOON = "import bench.screens.journal_watch as watch; watch.AT_REST_S = 0.5; " + LAUNCH
"""Starts a program that takes half a second without a key for rest."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with four pieces in the making."""
    return furnished(tmp_path)


def test_a_journal_written_over_while_it_is_open_comes_back(home: Path) -> None:
    """The program makes a backup at rest; the cross after the mishap finds it, and all is there."""
    with Program(home, launch=SOON) as program:
        program.wait_for("IN THE MAKING")
        program.type(b"\x1b[H\r")
        program.wait_for("cross 31 of 72")
        until = time.monotonic() + 15
        while not backups(home):
            assert time.monotonic() < until
            program.read(0.1)
        program.press(b" ")
        journal = home / "journal.db"
        with journal.open("r+b") as file:
            file.write(b"\0" * journal.stat().st_size)
        program.press(b" ")
        program.wait_for("another program wrote to it while it was open")
        program.wait_for("more from elsewhere")
        program.press(b" ")
        program.wait_for("cross 34 of 72")
        assert b"Traceback" not in program.raw
    assert soundly_made(home) == 33
    assert list(home.glob("journal-damaged-*.db"))
