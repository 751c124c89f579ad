from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bench.journal.errors import JournalError, Locked
from bench.journal.state import replay
from bench.journal.store import Journal
from tests.support.events import said

HOLD = """
import sys, time
from pathlib import Path
from bench.journal.store import Journal
journal = Journal.open(Path(sys.argv[1]), write=True)
print("held", flush=True)
time.sleep(float(sys.argv[2]))
"""

BRAID = """
import sys
from pathlib import Path
from bench.journal.payloads import Crossed
from bench.journal.store import Journal
journal = Journal.open(Path(sys.argv[1]), write=True)
made = journal.state("p").made
while True:
    journal.append(Crossed(made, made + 1), pieces="p")
    made += 1
    print(made, flush=True)
"""


def run(script: str, *arguments: object) -> subprocess.Popen[str]:
    """Start a program of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", script, *map(str, arguments)], stdout=subprocess.PIPE, text=True
    )


def line(process: subprocess.Popen[str]) -> str:
    """Return the next line that a program prints."""
    assert process.stdout is not None
    return process.stdout.readline()


def end(process: subprocess.Popen[str]) -> str:
    """Kill a program without a warning; return what it had still printed."""
    process.kill()
    return process.communicate()[0]


def test_a_second_writer_is_told_who_writes(path: Path) -> None:
    """The second window is refused with the process and the time of the first, and may read."""
    holder = run(HOLD, path, 60)
    try:
        assert line(holder) == "held\n"
        with pytest.raises(Locked) as caught:
            Journal.open(path, write=True)
        assert f"process {holder.pid}, since " in str(caught.value)
        with pytest.raises(Locked):
            Journal.open(path, write=True, even_unsaved=True)
        with Journal.open(path, write=False) as reader:
            assert reader.pieces() == []
    finally:
        end(holder)


def test_a_killed_writer_leaves_no_lock(path: Path) -> None:
    """The lock of a process that was killed is free at once."""
    holder = run(HOLD, path, 60)
    assert line(holder) == "held\n"
    end(holder)
    Journal.open(path, write=True).close()


def test_a_command_waits_for_its_turn(path: Path) -> None:
    """A writer that is willing to wait gets the lock when the other one ends."""
    holder = run(HOLD, path, 0.3)
    try:
        assert line(holder) == "held\n"
        Journal.open(path, write=True, wait_s=10).close()
    finally:
        end(holder)


def test_waiting_has_an_end(journal: Journal, path: Path) -> None:
    """Waiting for the lock ends after the time that was given."""
    began = time.monotonic()
    with pytest.raises(Locked):
        Journal.open(path, write=True, wait_s=0.2)
    assert time.monotonic() - began >= 0.2
    assert journal.pieces() == []


def test_the_lock_is_let_go_on_closing(path: Path) -> None:
    """A closed journal can be opened again, and a closed one takes nothing more."""
    journal = Journal.open(path, write=True)
    journal.close()
    with pytest.raises(JournalError, match="closed"):
        journal.append(said("recorded", RECORDED), pieces="r")
    Journal.open(path, write=True).close()


RECORDED: dict[str, object] = {
    "pattern": "cistern",
    "size": None,
    "colourway": None,
    "stage": None,
    "hands_on_s": 4000,
    "waiting_s": None,
    "crosses": None,
    "rework_s": None,
    "finished_at": None,
    "quality": "good",
}


def test_killed_at_any_moment_nothing_that_was_counted_is_lost(
    path: Path, start: dict[str, object]
) -> None:
    """Every cross that was acknowledged before a SIGKILL is there on reopening."""
    with Journal.open(path, write=True) as journal:
        journal.append(said("piece_started", start), pieces="p")
    moments = random.Random(8)
    shown = 0
    for _ in range(5):
        braider = run(BRAID, path)
        assert int(line(braider)) == shown + 1
        time.sleep(moments.uniform(0, 0.08))
        printed = end(braider).split("\n")
        shown = int(printed[-2]) if len(printed) > 1 else shown + 1
        with Journal.open(path, write=True) as journal:
            made = journal.state("p").made
            assert made in (shown, shown + 1)
            assert journal.state("p") == replay("p", journal.events("p"))
            assert journal.check()
        shown = made
