"""A disk that stalls, fails or tears: what is counted is on it, and what is not is said."""

from __future__ import annotations

import errno
import signal
import time
from pathlib import Path

import pytest

from tests.faults.shims import NOT_HERE, build, can_build
from tests.faults.test_disk import made, soundly_made, wait_until_made
from tests.support.homes import furnished
from tests.support.terminal import Program


@pytest.fixture(scope="module")
def shim(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library that is laid under the program, built here."""
    if not can_build():
        pytest.skip(NOT_HERE)
    return build("failing_disk", tmp_path_factory.mktemp("shim"))


class Disk:
    """A home on a disk that does as it is told."""

    def __init__(self, folder: Path, shim: Path) -> None:
        self.home, self._shim, self._says = furnished(folder), shim, folder / "says"
        self.well()

    def does(self, what: str, number: int) -> None:
        """Have it stall, fail, or tear from now on."""
        part = self._says.with_suffix(".part")
        part.write_text(f"{what} {number}\n")
        part.replace(self._says)

    def well(self) -> None:
        """Have it do as it is asked."""
        self._says.write_text("")

    def program(self) -> Program:
        """The program on it, at the first piece."""
        program = Program(self.home, LD_PRELOAD=str(self._shim), FAILING_DISK=str(self._says))
        program.wait_for("IN THE MAKING")
        program.type(b"\x1b[H\r")
        program.wait_for("of 72")
        return program


@pytest.fixture
def disk(tmp_path: Path, shim: Path) -> Disk:
    """A disk that is well, with four pieces on it."""
    return Disk(tmp_path, shim)


def test_presses_in_a_stalled_write_are_counted(disk: Disk) -> None:
    """One write takes three seconds: the presses that came meanwhile all count, and it is said."""
    (disk.home / "settings.toml").write_text("format = 1\n[press]\nbell = false\n")
    with disk.program() as program:
        program.read(0.7)
        disk.does("stall", 3000)
        for _ in range(5):
            program.type(b" ")
            program.read(0.7)
        program.wait_for("cross 36 of 72")
        program.wait_for("COUNT MAY LAG")
    assert soundly_made(disk.home) == 35


@pytest.mark.parametrize("what", ["fail", "sync"])
def test_writes_that_fail_are_told_and_made_up_for(disk: Disk, what: str) -> None:
    """While writing or syncing fails, crosses are shown as not saved; after it, all are saved."""
    with disk.program() as program:
        disk.does(what, errno.EIO)
        program.type(b" ")
        program.wait_for("Not saved: ")
        program.press(b" ", b" ", b" ")
        assert "NOT SAVED (" in program.screen.text
        disk.well()
        wait_until_made(disk.home, 33)
        program.press(b" ")
        assert "NOT SAVED" not in program.screen.text
    assert soundly_made(disk.home) == 34


def test_torn_writes_lose_nothing_that_was_shown(disk: Disk) -> None:
    """Killed in the middle of a write, the program has on disk what it has shown as counted."""
    shown = 30
    for bytes_written in (1, 24, 4000):
        with disk.program() as program:
            program.wait_for(f"cross {shown + 1} of 72")
            program.press(b" ")
            program.wait_for(f"cross {shown + 2} of 72")
            disk.does("tear", bytes_written)
            program.type(b" ")
            until = time.monotonic() + 10
            while program.ended(0.1) is None:
                assert time.monotonic() < until
            assert program.ended() == -signal.SIGKILL
            assert f"cross {shown + 2} of 72" in program.screen.text
        disk.well()
        shown += 1
        assert made(disk.home) == shown
    assert soundly_made(disk.home) == shown
