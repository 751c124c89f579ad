"""Kills the program while its data folder is taken away or another one is laid in its place."""

from __future__ import annotations

import random
import shutil
import signal
import tempfile
from collections.abc import Mapping
from pathlib import Path

from bench.journal.events import Event
from bench.journal.lock import LOCK_NAME
from bench.journal.store import Journal
from tests.faults.kills import COMPARED, Found, contradictions, counted_on
from tests.support.homes import furnished
from tests.support.terminal import Program

KEYS = (b" ", b" ", b" ", b" ", b"\x7f", b"m")
NOTICED = "was taken away while it was open"
WAYS = (
    "moved away",
    "removed",
    "replaced by an older one",
    "its journal replaced",
    "its lock gone",
)


def folder_kills(times: int, seed: int) -> Found:
    """Kill so many times; note what was shown as counted and is in no journal."""
    random_, found = random.Random(seed), Found()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name).resolve()
        template, home, aside = furnished(folder), folder / "used", folder / "aside"
        for number in range(times):
            for old in (home, aside):
                shutil.rmtree(old, ignore_errors=True)
            shutil.copytree(template, home)
            _one_kill(WAYS[number % len(WAYS)], template, home, aside, random_, found)
    return found


def _one_kill(
    way: str, template: Path, home: Path, aside: Path, random_: random.Random, found: Found
) -> None:
    with Program(home) as program:
        program.wait_for("IN THE MAKING")
        program.type(b"\x1b[H\r")
        program.wait_for("cross 31 of 72")
        _type_some(program, random_, 6)
        _replace(program, way, template, home, aside)
        if random_.random() < 0.4:
            _type_some(program, random_, 6)
        program.type(b" ")
        program.read(random_.uniform(0.0, 0.05))
        program.kill()
        text = " ".join(program.screen.text.split())
    before, after = _events_of(aside), _events_of(home)
    both = [*before.values(), *(event for uuid, event in after.items() if uuid not in before)]
    wrong = contradictions(program.screen.text, both, found, 0)
    if counted_on(program.screen.text) is not None:
        found.compared[COMPARED] += 1
    went_on = NOTICED in text or bool(after.keys() - before.keys())
    found.compared["kills after it was noticed"] += went_on
    if went_on and before.keys() - after.keys():
        lacking = len(before.keys() - after.keys())
        wrong.append(f"the program went on in the new folder without {lacking} of the events")
    with Journal.open(home / "journal.db", write=True) as journal:
        if not journal.check() or any("could not be read" in said for said in journal.reports):
            wrong.append(f"the journal is not sound: {journal.reports}")
        if not {event.uuid for event in journal.events()} >= after.keys():
            wrong.append("opened again, the journal lacks what was in it")
    found.compared[way] += 1
    found.lost += [f"{way}: {line}\n{program.screen.text}" for line in wrong]


def _type_some(program: Program, random_: random.Random, most: int) -> None:
    for _ in range(random_.randint(0, most)):
        program.type(random_.choice(KEYS))
        program.read(random_.uniform(0.0, 0.08))


def _replace(program: Program, way: str, template: Path, home: Path, aside: Path) -> None:
    """Do it, and leave in `aside` the journal as the program knew it."""
    if way == "moved away":
        home.rename(aside)
        return
    if way == "replaced by an older one":
        home.rename(aside)
        shutil.copytree(template, home)
        return
    program.send(signal.SIGSTOP)
    shutil.copytree(home, aside)
    if way == "removed":
        shutil.rmtree(home)
    elif way == "its journal replaced":
        shutil.copyfile(template / "journal.db", home / "other.db")
        (home / "other.db").rename(home / "journal.db")
    else:
        (home / LOCK_NAME).unlink()
    program.send(signal.SIGCONT)


def _events_of(home: Path) -> Mapping[str, Event]:
    with Journal.open(home / "journal.db", write=False) as journal:
        return {event.uuid: event for event in journal.events()}
