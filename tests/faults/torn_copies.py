"""Copies of a journal as a power cut leaves them, taken while the real program counts.

What was synced is there; what was being written at that moment is there in part, or as garbage. A
copy is: stop the program, take the screen, work out from what it wrote and synced what a disk may
hold then, put a torn write after the log's end, and open what came of it as the next start does.
"""

from __future__ import annotations

import random
import shutil
import signal
import tempfile
from pathlib import Path

from bench.journal.schema import PAGE
from bench.journal.store import Journal
from bench.journal.write_ahead_log import FRAME
from tests.faults.kills import (
    COMPARED,
    Found,
    contradictions,
    counted_on,
    crosses_of,
    events_of,
    tell_how_far,
)
from tests.faults.recorded_disk import RecordedDisk
from tests.faults.shims import build
from tests.faults.shown import Shown
from tests.support.homes import furnished
from tests.support.terminal import LAUNCH, Program

JOURNAL, LOG, SHARED = "journal.db", "journal.db-wal", "journal.db-shm"
PER_PROGRAM = 40
"""Copies that are taken of one running program: as long as there are crosses to make."""
SYNC_US = "20000"
TO_REST = 8
"""After so many copies the program is let come to rest: stopped so often, it paints late."""
BEHIND = 2 * TO_REST
"""Keys that may have been saved and not yet painted: all that were typed since."""
CHANGED = (
    "import bench.journal.schema as s; durable = s.durable;"
    " s.durable = lambda db: (durable(db), db.execute('PRAGMA {}'));"
)
OFTEN = CHANGED.format("wal_autocheckpoint = 6") + LAUNCH
"""Starts a program that writes its log into the journal after every few events."""
NEVER_SYNCED = CHANGED.format("synchronous = OFF") + LAUNCH
"""Starts one that leaves it to the system when what it wrote is on the disk."""


def torn_copies(times: int, seed: int, launch: str = OFTEN) -> Found:
    """Take so many copies; note what of the counts on the screen they lack."""
    random_, found = random.Random(seed), Found()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        template, shim = furnished(folder), build("recorded_disk", folder)
        before = len(events_of(template))
        home, copy, record = folder / "used", folder / "copy", folder / "record"
        for first in range(0, times, PER_PROGRAM):
            shutil.rmtree(home, ignore_errors=True)
            shutil.copytree(template, home)
            record.write_bytes(b"")
            disk = RecordedDisk(home, record)
            program = Program(
                home,
                launch=launch,
                LD_PRELOAD=str(shim),
                RECORDED_DISK=str(record),
                RECORDED_FOLDER=str(home),
                SYNC_US=SYNC_US,
            )
            shown = Shown()
            with program:
                program.wait_for("IN THE MAKING")
                program.type(b"\x1b[H\r")
                program.wait_for("cross 31 of 72")
                for number in range(first, min(first + PER_PROGRAM, times)):
                    if number % TO_REST == 0:
                        program.settle()
                    _one_copy(program, disk, home, copy, random_, found, shown, before)
                    tell_how_far(number + 1, found)
            found.compared["syncs"] += disk.syncs
    return found


def _one_copy(
    program: Program,
    disk: RecordedDisk,
    home: Path,
    copy: Path,
    random_: random.Random,
    found: Found,
    shown: Shown,
    before: int,
) -> None:
    program.type(random_.choice([b" ", b" ", b"  ", b"\x7f", b"m"]))
    program.read(random_.uniform(0.0, 0.08))
    program.send(signal.SIGSTOP)
    program.read(0.01)
    text = program.screen.text
    for folder in (copy, copy.with_name("synced")):
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
    disk.read_on()
    disk.write_synced(copy.with_name("synced"))
    unsynced = disk.after_a_power_cut(copy, random_)
    if (home / SHARED).exists() and random_.random() < 0.5:
        shutil.copyfile(home / SHARED, copy / SHARED)
    program.send(signal.SIGCONT)
    how = _tear(copy / LOG, random_)
    with Journal.open(copy.with_name("synced") / JOURNAL, write=True) as journal:
        synced = list(journal.events())
        wrong = contradictions(text, synced, found, 0, BEHIND)
        shown.look(text)
        wrong += shown.not_on_disk(synced, before, crosses_of)
    with Journal.open(copy / JOURNAL, write=True) as journal:
        sound = journal.check()
        there = {event.uuid for event in journal.events()}
        lacking = sum(event.uuid not in there for event in synced)
        if not sound:
            wrong.append("what was made of it is not sound")
        if lacking:
            wrong.append(f"{lacking} events that were synced are gone")
        lost = [report for report in journal.reports if "could not be read" in report]
    found.compared[how] += 1
    found.compared["copies with writes that were not synced"] += unsynced > 0
    if counted_on(text) is not None:
        found.compared[COMPARED] += 1
    found.lost += [f"torn, {how}: {line}\n{text}" for line in (*wrong, *lost)]


def _tear(log: Path, random_: random.Random) -> str:
    """Put after a log's end what a write that was cut off may leave; say what."""
    how = random_.choice(["as it is", "half a frame", "a stale frame", "garbage", "zeros"])
    data = log.read_bytes() if log.exists() else b""
    if len(data) < FRAME + PAGE or how == "as it is":
        return "as it is"
    frame = data[-FRAME - PAGE :]
    length = random_.randrange(1, 3 * (FRAME + PAGE))
    added = {
        "half a frame": frame[: random_.randrange(1, FRAME + PAGE)],
        "a stale frame": frame,
        "garbage": random_.randbytes(length),
        "zeros": bytes(length),
    }[how]
    log.write_bytes(data + added)
    return how
