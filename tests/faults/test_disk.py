from __future__ import annotations

import contextlib
import os
import resource
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from bench.journal.store import Journal
from tests.support.command_line import say
from tests.support.homes import furnished
from tests.support.terminal import LAUNCH, Program

NO_LIMIT = resource.RLIM_INFINITY
NOBODY_ABOVE = ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
"""Takes from root what lets it write where permissions forbid it."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with four pieces in the making."""
    return furnished(tmp_path)


def open_piece(home: Path, *, before: Sequence[str] = (), launch: str = LAUNCH) -> Program:
    """Open the program on the piece of Silver Eaves, which has thirty crosses made."""
    program = Program(home, before=before, launch=launch)
    try:
        program.wait_for("IN THE MAKING")
        program.type(b"\x1b[H\r")
        program.wait_for("cross 31 of 72")
    except AssertionError:
        program.kill()
        raise
    return program


def made(home: Path) -> int:
    """How many crosses of the piece are on disk."""
    with Journal.open(home / "journal.db", write=False) as journal:
        return next(s.made for s in journal.pieces() if s.pattern_name == "silver-eaves")


def soundly_made(home: Path) -> int:
    """How many crosses are on disk, in a journal that is whole."""
    with Journal.open(home / "journal.db", write=False) as journal:
        assert journal.check()
    return made(home)


def wait_until_made(home: Path, crosses: int) -> None:
    """Wait until so many crosses are on disk."""
    until = time.monotonic() + 10
    while made(home) != crosses:
        assert time.monotonic() < until, f"{made(home)} crosses on disk, not {crosses}"
        time.sleep(0.1)


def braid_on_unsaved(program: Program, home: Path) -> None:
    """Count three crosses while nothing can be written, and see what is said; go to the list."""
    program.type(b" ")
    program.wait_for("Not saved: ")
    program.wait_for("You can go on braiding")
    program.type(b" ")
    program.wait_for("cross 32 of 72")
    program.wait_for("NOT SAVED (1)")
    program.press(b" ", b" ")
    program.wait_for("NOT SAVED (3)")
    program.wait_for("not saved (3): ")
    program.type(b"l")
    program.wait_for("both are done")
    program.type(b"l")
    program.wait_for("PATTERNS")
    program.wait_for("NOT SAVED (4)")  # leaving is a pause, an event too
    assert b"Traceback" not in program.raw


def test_a_file_size_limit_is_told_and_got_over(home: Path) -> None:
    """When nothing more can be written crosses go on as not saved; freed, all of them are saved."""
    with open_piece(home) as program:
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (1000, NO_LIMIT))
        braid_on_unsaved(program, home)
        assert made(home) == 30
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (NO_LIMIT, NO_LIMIT))
        wait_until_made(home, 33)
        program.wait_for("BRAID BENCH")
        program.settle()
        assert "NOT SAVED" not in program.screen.text
    assert soundly_made(home) == 33


@pytest.fixture
def rescue(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder for temporary files, where the home folder takes none."""
    folder = tmp_path / "temp"
    folder.mkdir()
    monkeypatch.setenv("TMPDIR", str(folder))
    monkeypatch.setenv("HOME", str(tmp_path / "nowhere"))
    return folder


def take_in_three(home: Path, rescue: Path) -> None:
    """Import the one file that three crosses were kept in; the journal has them then."""
    assert made(home) == 30
    (file,) = (*home.glob("*.jsonl"), *rescue.glob("*.jsonl"))
    status, said, _ = say(home, "import", str(file))
    assert status == 0
    assert "4 events taken in" in said
    assert soundly_made(home) == 33


def test_leaving_while_nothing_can_be_saved_keeps_it_in_a_file(home: Path, rescue: Path) -> None:
    """Closed with crosses not saved, the program asks once more and keeps them to be imported."""
    with open_piece(home) as program:
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (10_000, NO_LIMIT))
        braid_on_unsaved(program, home)
        program.type(b"q")
        program.wait_for("Q again closes")
        assert program.ended() is None
        program.type(b"q")
        assert program.ended(10) == 0
        assert b"4 changes could not be saved in the journal" in program.raw
    take_in_three(home, rescue)


def test_what_was_not_saved_is_told_at_the_next_start_and_taken_in_first(
    home: Path, rescue: Path
) -> None:
    """The list and the piece say what lies in a file; a cross counts only once it is taken in."""
    with open_piece(home) as program:
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (10_000, NO_LIMIT))
        braid_on_unsaved(program, home)
        program.type(b"q")
        program.wait_for("Q again closes")
        program.type(b"q")
        assert program.ended(10) == 0
    with Program(home) as program:
        program.wait_for("NOT SAVED LAST TIME")
        program.wait_for("4 changes of Silver Eaves")
        program.type(b"\x1b[B\r")
        program.wait_for("4 changes of this piece could not be saved")
        program.press(b" ")
        assert "M takes them in first" in program.screen.text
        assert made(home) == 30
        program.press(b"m")
        assert made(home) == 33
        program.wait_for("P go on")
        program.press(b"p", b" ")
        program.wait_for("cross 35 of 72")
        assert b"Traceback" not in program.raw
    assert soundly_made(home) == 34


@pytest.mark.parametrize("how", ["asked to end", "hung up by a signal", "window closed"])
def test_a_program_that_is_ended_keeps_what_is_not_saved(
    home: Path, rescue: Path, how: str
) -> None:
    """Ended by the system with crosses not saved, the program keeps them first, to be imported."""
    with open_piece(home) as program:
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (10_000, NO_LIMIT))
        braid_on_unsaved(program, home)
        if how == "window closed":
            program.hang_up()
        else:
            program.send(signal.SIGTERM if how == "asked to end" else signal.SIGHUP)
        status = program.ended(10)
        assert b"Traceback" not in program.raw
        if how == "asked to end":
            assert status == 128 + signal.SIGTERM
            assert b"4 changes could not be saved in the journal" in program.raw
            assert b"\x1b[?1049l" in program.raw
        else:
            assert status == -signal.SIGHUP
    take_in_three(home, rescue)


@pytest.fixture
def small_disk() -> Iterator[Path]:
    """A folder on a disk of eight megabytes."""
    disk = Path(tempfile.mkdtemp(prefix="small-disk-"))
    mount = ["mount", "-t", "tmpfs", "-o", "size=8m", "none", str(disk)]
    if not shutil.which("mount") or subprocess.run(mount, capture_output=True).returncode:
        disk.rmdir()
        pytest.skip("a small disk can be made here only by a user who may mount one")
    yield disk
    subprocess.run(["umount", "--lazy", str(disk)], check=True)
    disk.rmdir()


def fill(ballast: Path) -> None:
    """Write a file until the disk has no room left."""
    with ballast.open("wb", buffering=0) as stream, contextlib.suppress(OSError):
        while True:
            stream.write(bytes(4096))


def test_a_full_disk_is_told_and_got_over(small_disk: Path) -> None:
    """On a disk without a free byte crosses wait; with room again, all of them are saved."""
    home = furnished(small_disk)
    with open_piece(home) as program:
        ballast = small_disk / "ballast"
        fill(ballast)
        until = time.monotonic() + 10
        while "NOT SAVED" not in program.screen.text:  # pages that the log has already are used up
            assert time.monotonic() < until
            program.press(b" ")
        program.press(b" ", b" ", b" ", b" ")
        assert "NOT SAVED (" in program.screen.text
        ballast.unlink()
        program.press(b" ")
        assert "NOT SAVED" not in program.screen.text
        counted = int(program.screen.text.split("cross ")[1].split(" of")[0]) - 1
    assert soundly_made(home) == counted
    assert counted > 34


@pytest.fixture
def unchangeable(home: Path) -> Iterator[list[Path]]:
    """The journal's files, which `chattr +i` can make unchangeable even for who has them open."""
    probe = home / "probe"
    probe.touch()
    can = shutil.which("chattr") and not subprocess.run(["chattr", "+i", probe]).returncode
    if not can:
        pytest.skip("files in use can be made unchangeable only by root, on some file systems")
    subprocess.run(["chattr", "-i", probe], check=True)
    files = [home / name for name in ("journal.db", "journal.db-wal", "journal.db-shm")]
    yield files
    subprocess.run(["chattr", "-i", *(f for f in files if f.exists())], check=True)


def test_write_permission_taken_away_is_told_and_got_over(
    home: Path, unchangeable: list[Path]
) -> None:
    """When the open journal must not be changed, crosses wait; permitted again, they are saved."""
    with open_piece(home) as program:
        subprocess.run(["chattr", "+i", *unchangeable[:2]], check=True)
        braid_on_unsaved(program, home)
        subprocess.run(["chattr", "-i", *unchangeable[:2]], check=True)
        wait_until_made(home, 33)
    assert soundly_made(home) == 33


def test_a_folder_that_may_not_be_written_is_told_at_the_start(home: Path) -> None:
    """Opened where nothing may be written, the program says so at once, and saves when it may."""
    before: Sequence[str] = ()
    if os.geteuid() == 0:
        if not shutil.which("setpriv"):
            pytest.skip("root writes everywhere, and setpriv is not here to take that away")
        before = NOBODY_ABOVE
    files = [home, home / "journal.db", home / "journal.lock"]
    modes = [file.stat().st_mode for file in files]
    for file in files:
        file.chmod(0o555 if file is home else 0o444)
    try:
        with Program(home, before=before) as program:
            program.wait_for("NOT SAVED (0)")
            program.wait_for("PATTERNS")
            program.type(b"\x1b[H\r")
            program.wait_for("cross 31 of 72")
            braid_on_unsaved(program, home)
            for file, mode in zip(files, modes, strict=True):
                file.chmod(mode)
            wait_until_made(home, 33)
    finally:
        for file, mode in zip(files, modes, strict=True):
            file.chmod(mode)
    assert soundly_made(home) == 33


def test_a_data_folder_removed_under_the_program_is_made_again(home: Path) -> None:
    """The next cross after the data folder was removed brings everything back, and says so."""
    with open_piece(home) as program:
        shutil.rmtree(home)
        program.type(b" ")
        program.wait_for("was taken away while it was open")
        assert made(home) == 31
        program.type(b" ")
        program.wait_for("cross 33 of 72")
        program.kill(signal.SIGKILL)
    assert soundly_made(home) == 32
    with Program(home) as program:
        program.wait_for("IN THE MAKING")
        for title in ("Silver Eaves", "Short One", "Cistern", "Downpipe"):
            assert title in program.screen.text.split("PATTERNS")[0]


DEAF = (
    "import signal, time; signal.signal(signal.SIGHUP, signal.SIG_IGN);"
    " signal.signal(signal.SIGUSR1, lambda *_: time.sleep(60)); "
) + LAUNCH
"""Starts a program that ignores the hang-up signal, and hangs at another one."""


def cpu_s(pid: int) -> float:
    """How much time a process has worked so far, in seconds (Linux)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@pytest.mark.parametrize("hangs", [False, True])
def test_a_terminal_that_is_gone_ends_a_program_that_ignores_it(
    home: Path, rescue: Path, *, hangs: bool
) -> None:
    """Where the hang-up signal is ignored the program sees itself that its terminal is gone.

    It ends within five seconds, burns no time in them, and keeps what is not saved; so does one
    that hangs.
    """
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with open_piece(home, launch=DEAF) as program:
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (10_000, NO_LIMIT))
        braid_on_unsaved(program, home)
        used_s = cpu_s(program.pid)
        if hangs:
            program.send(signal.SIGUSR1)
            time.sleep(0.3)
        program.hang_up()
        assert program.ended(5.0) is not None
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    in_all_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    assert in_all_s - used_s < 1.0
    take_in_three(home, rescue)
