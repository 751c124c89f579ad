"""Kills a program that works on a sketch, and looks what its log has kept."""

from __future__ import annotations

import contextlib
import multiprocessing
import random
import time
from collections.abc import Iterator
from multiprocessing.connection import Connection
from pathlib import Path

from bench.design.history import History
from bench.design.operation import Desk, Operation
from bench.design.operations import Paint, Redo, Rows, Undo
from bench.documents.sketch import Sketch, read_log, sketch_path
from bench.documents.sketch_log import SketchLog
from tests.support.boards import board, structure

DESK = Desk(structure)


def operations(seed: int) -> Iterator[Operation]:
    """Operations at random without end, some of them taken back or done again."""
    random_ = random.Random(seed)
    while True:
        what = random_.random()
        if what < 0.2:
            yield Undo()
        elif what < 0.3:
            yield Redo()
        elif what < 0.4:
            yield Rows(do="insert", before=random_.randint(1, 5))
        else:
            yield Paint(
                bead=random_.choice("abcd-?"),
                strands=(random_.randint(1, 8),),
                first=random_.randint(1, 9),
            )


def work(home: Path, seed: int, saved: Connection) -> None:
    """Work on a sketch until the program is killed, and say each operation that is saved."""
    history = History(board())
    log = SketchLog.begin(home, Sketch("try", "silver-eaves", None, history))
    for number, operation in enumerate(operations(seed), 1):
        history = history.do(operation, DESK)
        log.append(operation)
        saved.send(number)
        if number % 7 == 0:
            log.compact(history)


def sketch_kills(folder: Path, times: int, seed: int) -> list[str]:
    """Kill so many times; what was lost, one line each."""
    random_ = random.Random(seed)
    programs = multiprocessing.get_context("forkserver")
    programs.set_forkserver_preload([__name__])
    lost: list[str] = []
    for number in range(times):
        home = folder / f"{seed}-{number}"
        here, there = programs.Pipe(duplex=False)
        child = programs.Process(target=work, args=(home, number, there))
        child.start()
        there.close()
        said = int(here.recv())
        time.sleep(random_.uniform(0.0, 0.1))
        child.kill()
        with contextlib.suppress(EOFError):
            while True:
                said = int(here.recv())
        child.join()
        lost += _lost(home, number, said)
    return lost


def _lost(home: Path, seed: int, said: int) -> Iterator[str]:
    """Hold a log against what was said to be saved; one more may have been."""
    log = SketchLog.open(home, "try", DESK)
    log.close()
    found = read_log(sketch_path(home, "try"), DESK)[0].history
    history = History(board())
    for number, operation in enumerate(operations(seed), 1):
        history = history.do(operation, DESK)
        if number >= said and _alike(history, found):
            return
        if number > said + 1:
            yield f"kill {seed}: operation {said} was saved, and is not in the log"
            return


def _alike(one: History, other: History) -> bool:
    return (one.sheet, one.log, len(one.undone)) == (other.sheet, other.log, len(other.undone))
