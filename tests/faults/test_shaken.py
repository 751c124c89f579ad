from __future__ import annotations

import shutil
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from bench.journal.piece_times import braid_sum
from bench.journal.presses import Presses
from bench.journal.state import replay
from bench.journal.store import Journal
from bench.journal.transfer import to_line
from bench.pace.gaps import StageSum
from tests.faults.kills import events_of
from tests.faults.noise import rattle
from tests.support.command_line import say
from tests.support.homes import furnished
from tests.support.terminal import Program

DAY_S = 86_400.0
SHIFTED = """
import sys
from dataclasses import replace
from pathlib import Path
from bench.journal.clock import Instant, SystemClock
from bench.screens.app import run

class Shifted(SystemClock):
    "The system's clocks, wall and monotonic, ahead by the seconds that a file in the home says."

    def now(self) -> Instant:
        moment = super().now()
        wall, mono = map(float, (home / "shift").read_text().split())
        return replace(moment, wall=moment.wall + wall, mono=moment.mono + mono)

home = Path(sys.argv[1])
run(home, Shifted())
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with four pieces in the making."""
    return furnished(tmp_path)


@pytest.fixture
def program(home: Path) -> Iterator[Program]:
    """The program, open on a piece with thirty crosses made."""
    with Program(home) as program:
        to_the_bench(program)
        yield program
    assert b"Traceback" not in program.raw


def to_the_bench(program: Program) -> None:
    """Open the first piece of the list."""
    program.wait_for("PATTERNS")
    program.type(b"\x1b[H\r")
    program.wait_for("cross 31 of 72")


def made(home: Path) -> int:
    """How many crosses of the piece are on disk."""
    with Journal.open(home / "journal.db", write=False) as journal:
        return next(s.made for s in journal.pieces() if s.pattern_name == "silver-eaves")


def test_a_program_that_was_stopped_goes_on(program: Program, home: Path) -> None:
    """Suspended for a while, the program counts the key that came meanwhile, and goes on."""
    program.send(signal.SIGSTOP)
    program.type(b" ")
    program.read(2.0)
    assert made(home) == 30
    program.send(signal.SIGCONT)
    program.wait_for("cross 32 of 72")
    program.type(b" ")
    program.wait_for("cross 33 of 72")
    assert made(home) == 32


@pytest.mark.parametrize(("what", "mono"), [("stopped", 3600), ("asleep", 0)])
def test_an_hour_in_which_nothing_ran_is_no_work(home: Path, what: str, mono: int) -> None:
    """An hour for which the program was stopped, or the machine slept, is not hands-on time."""
    (home / "shift").write_text("0 0")
    with Program(home, launch=SHIFTED) as program:
        to_the_bench(program)
        program.press(b" ", b" ")
        before = braiding_of(home)
        program.send(signal.SIGSTOP)
        (home / "shift").write_text(f"3600 {mono}")
        program.send(signal.SIGCONT)
        program.press(b" ")
        program.wait_for("cross 34 of 72")
    after = braiding_of(home)
    assert after.crosses == before.crosses + 1
    assert 0 <= after.hands_on_s - before.hands_on_s < 60
    assert (after.break_s - before.break_s > 3500) == (what == "stopped")


def braiding_of(home: Path) -> StageSum:
    """How the seconds of braiding divide, of the piece that was worked on last."""
    events = events_of(home)
    piece = events[-1].piece
    state = replay(piece, (event for event in events if event.piece == piece))
    return braid_sum(state.presses or Presses())


def test_any_size_of_the_terminal_is_drawn(program: Program, home: Path) -> None:
    """Down to one cell and back, a key counts at every size and the screen comes back whole."""
    counted = 30
    for width, height in ((1, 1), (300, 100), (2, 80), (80, 2), (20, 10), (60, 20)):
        program.resize(width, height)
        program.settle()
        program.press(b" ")
        counted += 1
        assert made(home) == counted
    program.resize(80, 24)
    program.wait_for(f"cross {counted + 1} of 72")


def test_a_window_that_is_closed_loses_nothing(program: Program, home: Path) -> None:
    """The terminal closed under the program, it ends by itself with every cross on disk."""
    program.press(b" ", b" ")
    program.hang_up()
    assert program.ended(10) is not None
    assert made(home) == 32
    with Journal.open(home / "journal.db", write=True) as journal:
        assert journal.check()


@pytest.mark.parametrize("shift", [-80 * 365 * DAY_S, 200 * 365 * DAY_S])
def test_a_clock_that_is_set_changes_no_count(home: Path, shift: float) -> None:
    """The clock set back before 1970 or on past 2200 between two crosses: order and times hold.

    What it dated goes out, and comes in elsewhere.
    """
    (home / "shift").write_text("0 0")
    with Program(home, launch=SHIFTED) as program:
        to_the_bench(program)
        program.press(b" ", b" ")
        (home / "shift").write_text(f"{shift} 0")
        program.press(b" ", b"\x7f", b" ")
        program.wait_for("cross 34 of 72")
        program.press(b"l", b"l")
        program.wait_for("PATTERNS")
        assert "33 crosses made" in program.screen.text
        program.press(b"t")
        assert b"Traceback" not in program.raw
    crosses = [e for e in events_of(home) if e.kind in {"crossed", "taken_back"}][-5:]
    assert [e.values["to"] for e in crosses] == [31, 32, 33, 32, 33]
    walls = [e.instant.wall for e in crosses]
    assert abs(walls[2] - walls[1] - shift) < 60
    lines = home.parent / "events.jsonl"
    out = ("export", "--format", "jsonl", "--to", str(lines))
    for words in (("export", "--format", "csv"), ("list",), ("pace", "silver-eaves"), out):
        assert say(home, *words)[0] == 0
    status, _, wrong = say(home.parent / "other", "import", str(lines))
    assert (status, wrong) == (0, "")


def test_a_second_window_looks_on_and_says_so(program: Program, home: Path) -> None:
    """A second window opens to read, names the first, counts nothing, and shows what is made."""
    with Program(home) as second:
        second.wait_for("PATTERNS")
        second.wait_for(f"process {program.pid}")
        second.type(b"\x1b[H\r")
        second.wait_for("cross 31 of 72")
        second.press(b" ", b" ")
        assert "Looking on only" in second.screen.text
        program.press(b" ")
        second.press(b"l", b"\r")
        second.wait_for("cross 32 of 72")
        assert b"Traceback" not in second.raw
    assert made(home) == 31


def test_commands_beside_the_program(program: Program, home: Path) -> None:
    """Beside the program commands read what is on disk; what they write goes in through it.

    A whole import is too much for that: it names the program and stops.
    """
    program.press(b" ")
    status, listed, _ = say(home, "list")
    assert status == 0
    assert "31" in listed
    status, _, told = say(home, "record", "silver-eaves", "--minutes", "50")
    assert status == 0
    assert "taken it in" in told
    before = events_of(home)
    assert before[-1].kind == "recorded"
    (home / "events.jsonl").write_text(to_line(before[0]) + "\n")
    begun = time.monotonic()
    status, _, refused = say(home, "import", str(home / "events.jsonl"))
    assert status == 1
    assert f"process {program.pid}" in refused
    assert 1.5 < time.monotonic() - begun < 10
    assert events_of(home) == before
    program.press(b" ")
    assert made(home) == 32


def test_random_input_is_borne(home: Path) -> None:
    """Random keys, touches, pastes, bytes and sizes for some seconds bring no traceback."""
    said = rattle(home, seconds=6, seed=4, least=60)
    assert said.wrong == []
    assert said.sent > 20


def test_a_home_that_goes_away_before_the_start_is_made(home: Path) -> None:
    """A data folder that is not there is made by the first piece that is begun."""
    shutil.rmtree(home)
    with Program(home) as program:
        program.wait_for("PATTERNS")
        program.type(b"\r")
        program.wait_for("begin with")
        program.type(b"\r")
        program.wait_for("of 60")
    assert len(events_of(home)) == 2


def test_ctrl_c_leaves_as_the_key_that_leaves(program: Program, home: Path) -> None:
    """At the bench it says stick and weight first, then goes to the list; there it closes."""
    program.press(b" ", b"\x03")
    program.wait_for("Ctrl+C leaves, as L does")
    program.press(b"\x03")
    program.wait_for("PATTERNS")
    program.type(b"\x03")
    assert program.ended(10) == 0
    assert made(home) == 31


def test_ctrl_z_goes_to_the_background_and_comes_back(home: Path) -> None:
    """The shell has its terminal back, and is told; brought back, the bench is as it was."""
    shell = ("bash", "-m", "-c", '"$@"; echo THE SHELL; sleep 1; fg', "shell")
    with Program(home, before=shell) as program:
        to_the_bench(program)
        program.press(b" ", b"\x1a")
        program.wait_for("THE SHELL")
        program.wait_for("cross 32 of 72")
        program.press(b" ")
        program.wait_for("cross 33 of 72")
        assert b"is in the background; fg brings it back" in program.raw
        program.press(b"l", b"l")
        program.wait_for("PATTERNS")
        program.press(b"q")
        assert program.ended(10) == 0
    assert made(home) == 32
