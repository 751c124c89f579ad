"""The program stopped for long, as by a shell or a debugger, and let go on."""

from __future__ import annotations

import signal
from pathlib import Path

from bench.journal.piece_times import braid_sum
from bench.journal.presses import Presses
from bench.journal.state import replay
from bench.journal.store import Journal
from tests.faults.kills import events_of
from tests.support.terminal import Program


def stopped(home: Path, seconds: float) -> list[str]:
    """Stop the program for so long in the middle of a piece, keys coming in; tell what is wrong.

    Keys that came meanwhile count when it goes on; nothing is lost; the time is a break. (It can
    be known as one from a minute on: a shorter stop looks like a slow cross.)
    """
    wrong = []
    with Program(home) as program:
        program.wait_for("PATTERNS")
        program.type(b"\x1b[H\r")
        program.wait_for("cross 31 of 72")
        program.press(*[b" "] * 3)
        before = len(events_of(home))
        program.send(signal.SIGSTOP)
        program.type(b"  ")
        program.read(seconds)
        if len(events_of(home)) != before:
            wrong.append("an event was written while the program was stopped")
        program.send(signal.SIGCONT)
        program.wait_for("cross 36 of 72")
        if b"Traceback" in program.raw:
            wrong.append(f"a traceback:\n{program.screen.text}")
    events = events_of(home)
    last = events[-1].piece
    piece = replay(last, (event for event in events if event.piece == last))
    if piece.made != 35:
        wrong.append(f"{piece.made} crosses on disk, not 35")
    told = braid_sum(piece.presses or Presses())
    if told.break_s < seconds - 20:
        wrong.append(f"{told.break_s:.0f} s of {seconds:.0f} s stopped count as a break")
    with Journal.open(home / "journal.db", write=False) as journal:
        if not journal.check():
            wrong.append("the journal is not sound")
    return wrong
