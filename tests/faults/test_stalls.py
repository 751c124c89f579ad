from __future__ import annotations

import signal
from pathlib import Path

import pytest

from bench.screens.kit.canvas import Canvas
from bench.screens.kit.large_letters import HEIGHT, big
from tests.faults.test_disk import made
from tests.support.homes import furnished
from tests.support.terminal import LAUNCH, Program

HANGS = (
    "import signal, time; signal.signal(signal.SIGUSR1, lambda *_: time.sleep(3.0)); "
) + LAUNCH
"""Starts a program that a signal holds up for three seconds, as a slow disk does."""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with pieces in the making, and the usual guard against second presses."""
    home = furnished(tmp_path)
    (home / "settings.toml").write_text("format = 1\n[press]\nbell = false\n")
    return home


def at_work(home: Path) -> Program:
    """The program at a piece with thirty crosses."""
    program = Program(home, launch=HANGS)
    program.wait_for("IN THE MAKING")
    program.type(b"\x1b[H\r")
    program.wait_for("cross 31 of 72")
    program.read(0.5)
    return program


def test_presses_in_a_stall_are_counted(home: Path) -> None:
    """Presses 0.7 s apart all count where the program hangs for three seconds among them.

    That it hung is said large, with the way to find the place.
    """
    with at_work(home) as program:
        program.type(b" ")
        program.read(0.7)
        program.send(signal.SIGUSR1)
        for _ in range(4):
            program.type(b" ")
            program.read(0.7)
        program.wait_for("cross 36 of 72")
        program.wait_for("COUNT MAY LAG. F finds your place")
        large = Canvas(80, HEIGHT)
        big(large, 1, 0, "COUNT MAY LAG", "")
        lines = [line.rstrip() for line in large.as_text().split("\n")]
        assert "\n".join(lines) in program.screen.text
        program.read(5.5)
        program.press(b" ")
        program.wait_for("cross 37 of 72")
        assert "MAY LAG" not in program.screen.text
    assert made(home) == 36


def test_presses_while_the_program_was_stopped_are_counted(home: Path) -> None:
    """Presses that waited while the program was stopped all count, and the stop is said."""
    with at_work(home) as program:
        program.press(b" ")
        program.read(0.7)
        program.send(signal.SIGSTOP)
        for _ in range(3):
            program.type(b" ")
            program.read(0.7)
        program.send(signal.SIGCONT)
        program.wait_for("COUNT MAY LAG")
        program.wait_for("cross 35 of 72")
    assert made(home) == 34


def test_a_second_press_is_ignored_as_ever(home: Path) -> None:
    """Without a stall two presses at once count once."""
    with at_work(home) as program:
        program.type(b"  ")
        program.wait_for("second press ignored")
        assert "MAY LAG" not in program.screen.text
    assert made(home) == 31
