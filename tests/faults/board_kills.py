"""Kills the program while it draws at the board, and holds its screen against the sketch's log."""

from __future__ import annotations

import random
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from bench.craft.stringing import fold_load
from bench.design.history import History
from bench.design.sheet import Sheet
from bench.documents.sketch import read_log, sketch_names, sketch_path
from tests.faults.kills import DOWN, ENTER, KEYS_BEHIND, LEFT, RIGHT
from tests.faults.sketch_kills import DESK
from tests.support.terminal import Program

KEYS = [*(b"%d" % digit for digit in range(1, 5)), *b"- ? u y w".split(), DOWN, RIGHT, LEFT, ENTER]


def board_kills(times: int, seed: int) -> list[str]:
    """Kill so many times while beads are laid; what was lost, one line each."""
    random_ = random.Random(seed)
    lost: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        for number in range(times):
            lost += _one(Path(folder) / str(number), random_)
    return lost


def _one(home: Path, random_: random.Random) -> Iterator[str]:
    program = Program(home, 200, 60)
    program.wait_for("PATTERNS")
    program.type(b"\x1b[H" + b"c")
    program.wait_for("not kept yet")
    program.type(b"2")
    until = time.monotonic() + random_.uniform(0.1, 1.5)
    while time.monotonic() < until:
        program.type(random_.choice(KEYS))
        program.read(random_.uniform(0.0, 0.05))
    program.kill()
    text = program.screen.text
    names = sketch_names(home)
    if len(names) != 1:
        yield f"{len(names)} sketches are there\n{text}"
        return
    sketch = read_log(sketch_path(home, names[0]), DESK)[0]
    if sketch.told:
        yield sketch.told[0]
    latest = list(_latest(sketch.history))
    for strand in range(sketch.history.sheet.strands):
        # The screen may have been half painted, so each strand is looked for by itself.
        if not any(fold_load(sheet.loads[strand]) in text for sheet in latest):
            yield f"strand {strand + 1} is shown with a load that the log does not have\n{text}"


def _latest(history: History) -> Iterator[Sheet]:
    """The sheet as it is, and those around it that the screen may still have shown."""
    yield history.sheet
    for way in (History.undo, History.redo):
        near = history
        for _ in range(KEYS_BEHIND):
            near = way(near)
            yield near.sheet
