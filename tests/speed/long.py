"""Long braids, full folders and large journals against small ones, in one run.

    python -m tests.speed.long [--pieces 10000] [--patterns 1000]

The large home has so many finished pieces of 72 crosses and so many patterns; the small one ten
pieces and the shipped patterns. In the making are in both a piece of 8 strands with 300 beads each
and one of 16 with 5,000. Told are the seconds of start to first paint, of keys and of commands in
both, with their ratio, and the most memory that the program held. Ratios only mean something within
one run.

A key is a cross that was counted, from its press to the last byte painted. Sittings alternate
between the homes; each compares like with like: the same piece in the other home, another piece in
the same home. In the large home keys are also pressed while the program reads the journal through
in the background, as it does after each start.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from bench.documents.folders import shipped_folder
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.events import Entry, Event, new_id
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from tests.support.clock import ManualClock
from tests.support.events import said
from tests.support.terminal import Program

COMMANDS = (
    ("where",),
    ("steps", "silver-eaves"),
    ("sheet", "silver-eaves"),
    ("needs", "silver-eaves"),
    ("weights", "silver-eaves"),
    ("picture", "silver-eaves"),
    ("pace", "silver-eaves"),
    ("forecast", "stair-window"),
    ("list",),
    ("export", "--format", "csv"),
)
LONG = """format = 1
title = "Long Cord"
structure = "kongo-16"
plain_start = 4
plain_end = 4
[threads]
double_lengths = []
strung = "each half from its own end"
name = "gel-spun 0.13 mm"
diameter_mm = 0.13
[beads.a]
size = "15/0"
colour = "#9fb8c8"
name = "rain grey"
[beads.b]
size = "15/0"
colour = "#86a3b8"
name = "wet slate"
[loads]
all = "1000(3a 2b)"
"""

SHORT = LONG.replace("Long", "Short").replace("kongo-16", "kongo-8").replace("1000(", "60(")


def copies(events: list[Event], times: int, clock: ManualClock) -> Iterator[Event]:
    """One finished piece's events again and again as other pieces, later each time."""
    number = max(event.number for event in events)
    for _ in range(times):
        piece, ids = new_id(), {event.uuid: new_id() for event in events}
        clock.advance(7200)
        shift = clock.now().wall - events[0].instant.wall
        for event in events:
            number += 1
            moment = replace(event.instant, wall=event.instant.wall + shift)
            yield replace(
                event,
                uuid=ids[event.uuid],
                number=number,
                after=tuple(None if a is None else ids[a] for a in event.after),
                pieces=((piece, 1.0),),
                instant=moment,
            )


def furnish(home: Path, pieces: int, patterns: int) -> int:
    """Make a home; return how many events its journal holds."""
    (home / "patterns").mkdir(parents=True)
    (home / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0\nbell = false\n")
    (home / "patterns" / "long-cord.toml").write_text(LONG)
    (home / "patterns" / "short-cord.toml").write_text(SHORT)
    text = (shipped_folder() / "silver-eaves.toml").read_text()
    for number in range(patterns):
        named = text.replace('title = "Silver Eaves"', f'title = "Eaves {number}"')
        (home / "patterns" / f"eaves-{number:04}.toml").write_text(named)
    clock = ManualClock(wall=time.time() - (pieces + 10) * 7200)
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        library = Library(home)
        made = WorkedPattern.from_library(library, Settings(), "silver-eaves", None, None)
        braid = Braid.start(journal, made, stage="load")
        for strand in range(1, 9):
            clock.advance(240)
            journal.append(said("loaded", {"strand": strand, "beads": 16}), pieces=braid.piece)
        for _ in range(2):
            clock.advance(300)
            braid.end_stage()
        while braid.next_step is not None or braid.mark_due is not None:
            clock.advance(25)
            if braid.mark_due is not None:
                braid.mark_done()
            else:
                braid.cross()
        while braid.end_stage() is not None:
            clock.advance(600)
        braid.finish("good")
        journal.merge(copies(list(journal.events(braid.piece)), pieces - 1, clock))
        for name in ("short-cord", "long-cord"):
            work = WorkedPattern.from_library(library, Settings(), name, None, None)
            crosses = work.plan.crosses // 2
            clock.advance(60)
            begun = Braid.start(journal, work)
            step = [
                Entry(said("crossed", {"from": n, "to": n + 1}), begun.piece)
                for n in range(crosses)
            ]
            journal.append_many(step)
        return journal.counts()["events"]


def first_paint(home: Path) -> float:
    """Seconds from the start to the first screen."""
    begun = time.perf_counter()
    with Program(home) as program:
        while b"BRAID BENCH" not in program.raw:
            program.read(0.005)
        return time.perf_counter() - begun


def counted(program: Program) -> int:
    """The cross that comes next, as the screen says as soon as the bench is up."""
    until = time.monotonic() + 30
    while True:
        found = re.search(r"cross ([\d,]+) of", " ".join(program.screen.text.split()))
        if found:
            return int(found[1].replace(",", ""))
        assert time.monotonic() < until, program.screen.text
        program.read(0.05)


def crosses(program: Program, presses: int) -> list[float]:
    """Seconds from key to last byte of so many crosses that were counted, but the first three."""
    taken: list[float] = []
    while len(taken) < presses + 3:
        at, before = counted(program), len(program.raw)
        begun = last = time.perf_counter()
        program.type(b" ")
        while time.perf_counter() - last < 0.06:
            program.read(0.002)
            if len(program.raw) > before:
                before, last = len(program.raw), time.perf_counter()
        if counted(program) == at + 1:
            taken.append(last - begun)
        else:
            program.press(b"m")
    return taken[3:]


def open_row(program: Program, row: int) -> None:
    """Open a line of the list; from the bench, go back to the list first."""
    if "PATTERNS" not in program.screen.text:
        program.press(b"l")
        program.wait_for("PATTERNS")
    program.press(b"\x1b[H" + b"\x1b[B" * row, b"\r")
    counted(program)


def wait_for_rest(program: Program) -> None:
    """Wait until the program's work in the background is done: it uses next to no time (Linux)."""

    def used() -> int:
        fields = Path(f"/proc/{program.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return int(fields[11]) + int(fields[12])

    tick = os.sysconf("SC_CLK_TCK")
    until, before = time.monotonic() + 600, used()
    while time.monotonic() < until:
        program.read(2.0)
        now = used()
        if now - before < 0.05 * 2 * tick:
            return
        before = now
    raise AssertionError("the program's work in the background does not end")


SHORT_ROW, LONG_ROW = 1, 0
"""Where the pieces lie in the list at first; what was worked on last comes first then."""


def keys(small: Path, large: Path, rounds: int, presses: int) -> tuple[dict[str, list[float]], int]:
    """Seconds of keys by what was compared, and the most memory in the large home, in kilobytes."""
    taken: dict[str, list[float]] = {"short": [], "small": [], "busy": [], "large": []}
    memory = 0
    for _ in range(rounds):
        with Program(small) as program:
            program.wait_for("IN THE MAKING", 60)
            wait_for_rest(program)
            open_row(program, SHORT_ROW)
            taken["short"] += crosses(program, presses)
            open_row(program, LONG_ROW + 1)
            taken["small"] += crosses(program, presses)
        with Program(large) as program:
            program.wait_for("IN THE MAKING", 60)
            open_row(program, LONG_ROW)
            taken["busy"] += crosses(program, presses)
            wait_for_rest(program)
            taken["large"] += crosses(program, presses)
            memory = max(memory, program.memory_kb())
    return taken, memory


def tell_keys(small: Path, large: Path, rounds: int = 3, presses: int = 70) -> None:
    """Measure keys and print them, medians and 99th percentiles."""
    taken, memory = keys(small, large, rounds, presses)
    for what, base, other in (
        ("key, small home: short, long piece", "short", "small"),
        ("key, long piece: small, large home", "small", "large"),
        ("the same, large home being read", "small", "busy"),
    ):
        for name, at in (("median", 0.5), ("99 %", 0.99)):
            told(f"{what}, {name}", quantile(taken[base], at), quantile(taken[other], at))
    print(f"{'most memory, large home':48} {memory / 1024:4.0f} MB", flush=True)


def quantile(values: list[float], at: float) -> float:
    """The value that so large a part of all does not exceed."""
    return sorted(values)[min(len(values) - 1, int(at * len(values)))]


def command(home: Path, words: tuple[str, ...]) -> tuple[float, int]:
    """Seconds that a command takes, and the most memory that it held, in kilobytes."""
    line = [sys.executable, "-m", "bench", *words, "--home", str(home)]
    begun = time.perf_counter()
    with subprocess.Popen(line, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as child:
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
    assert child.returncode == 0, f"{' '.join(words)} ended with {child.returncode}"
    return time.perf_counter() - begun, usage.ru_maxrss


def told(what: str, small: float, large: float, memory_kb: int = 0) -> None:
    """Print one line."""
    held = f"  {memory_kb / 1024:4.0f} MB" if memory_kb else ""
    print(f"{what:48} {small:8.4f} s {large:8.4f} s  x{large / small:5.2f}{held}", flush=True)


def measure(pieces: int, patterns: int) -> None:
    """Furnish both homes, measure in turn, and print."""
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder) / "small", Path(folder) / "large"
        furnish(small, 10, 0)
        begun = time.perf_counter()
        events = furnish(large, pieces, patterns)
        took = time.perf_counter() - begun
        size = (large / "journal.db").stat().st_size / 1e6
        print(
            f"{events:,} events, {pieces:,} pieces, {size:.0f} MB, made in {took:.0f} s", flush=True
        )
        starts = [(first_paint(small), first_paint(large)) for _ in range(5)]
        told("start to first paint", *(statistics.median(s) for s in zip(*starts, strict=True)))
        tell_keys(small, large)
        for words in COMMANDS:
            (first, _), (again, _) = command(small, words), command(small, words)
            (cold, _), (warm, memory) = command(large, words), command(large, words)
            told(f"{' '.join(words)}", min(first, again), warm, memory)
            if cold > 1.5 * warm:
                print(f"{'  the first time':48} {'':10} {cold:8.4f} s")


def main() -> None:
    """Measure."""
    parser = argparse.ArgumentParser(description="Large homes against small ones.")
    parser.add_argument("--pieces", type=int, default=10_000)
    parser.add_argument("--patterns", type=int, default=1000)
    args = parser.parse_args()
    measure(args.pieces, args.patterns)


if __name__ == "__main__":
    main()
