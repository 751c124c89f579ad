"""Kills the real program at random moments while crosses are made, and looks what is on disk.

Run the long form with `python -m tests.faults.kills 200`.
"""

from __future__ import annotations

import random
import re
import sys
import tempfile
import time
from pathlib import Path

from bench.journal.store import Journal
from tests.faults.terminal import Program

KEYS_BEHIND = 4
"""So many keys may have been saved and not yet painted when the program dies."""

_COUNT = re.compile(r"cross (\d+) of \d+")
_BACK = re.compile(r"cross (\d+) of \d+ comes out")
_MARK = re.compile(r"after cross (\d+) of \d+")


def shown_as_counted(text: str) -> int | None:
    """How many crosses the screen shows as made; None if it shows no count."""
    for pattern, less in ((_BACK, 1), (_MARK, 0), (_COUNT, 1)):
        found = pattern.search(text)
        if found:
            return int(found[1]) - less
    return None


def one_kill(home: Path, random_: random.Random) -> tuple[int | None, list[int], str]:
    """Braid on for a while and kill; return the count shown, the counts on disk, and the screen.

    The counts on disk are those after the last events, newest first: keys may have been saved and
    not yet shown, so the screen may show one of the counts just before.
    """
    program = Program(home)
    program.wait_for("PATTERNS")
    program.type(b"\x1b[H\r")
    if "IN THE MAKING" not in program.screen.text:
        program.wait_for("begin with")
        program.type(b"\r")
    until = time.monotonic() + random_.uniform(0.1, 1.5)
    while time.monotonic() < until:
        program.type(random_.choice([b" "] * 12 + [b"\x7f", b"m", b"pppp", b"nhello\r"]))
        program.read(random_.uniform(0.0, 0.06))
    program.kill()
    shown = shown_as_counted(program.screen.text)
    with Journal.open(home / "journal.db", write=False) as journal:
        pieces = journal.pieces(open_only=False)
        counts = [0]
        for piece in pieces:
            for event in journal.events(piece.uuid):
                if event.kind in {"crossed", "taken_back"}:
                    counts.append(int(str(event.payload["to"])))
    return shown, counts[: -KEYS_BEHIND - 1 : -1], program.screen.text


def prepared(folder: Path) -> Path:
    """A home whose press guard is off, so that every key counts."""
    home = folder / "home"
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0\n")
    return home


def kills(times: int, seed: int) -> list[str]:
    """Kill so many times; return what was lost, one line each."""
    random_ = random.Random(seed)
    lost: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        home = prepared(Path(folder))
        seen = 0
        for number in range(times):
            shown, counts, screen = one_kill(home, random_)
            seen += shown is not None
            if "Traceback" in screen:
                lost.append(f"kill {number}: a traceback on the screen")
            if shown is not None and shown not in counts:
                lost.append(f"kill {number}: {shown} shown as counted, {counts} on disk\n{screen}")
        if seen == 0:
            lost.append("no count was ever on the screen")
    return lost


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    found = kills(count, seed=2)
    print("\n".join(found) or f"{count} kills: every cross shown as counted was on disk")
    sys.exit(bool(found))
