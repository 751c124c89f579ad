"""Start to a list that can be used, seen from outside, against a bare Textual app's label.

    python -m tests.speed.start [rounds]

A start is over when every title is on the screen and a key has been answered there: the arrow down
has moved the mark to another line, or the label has counted. Programs are started in turn, each in
a pseudo-terminal, and ratios only mean something within one run. The bare app is timed with
Pydantic imported, too. "used": a home with pieces, patterns and a commission, left by its close
key; "killed": the same home, where the program before was killed at work; "fresh": no home at all.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import statistics
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import pyte

from bench.documents.library import Library
from tests.speed.long import furnish

WIDTH, HEIGHT = 80, 40
LONGEST_S = 30.0
QUIET_S = 0.4
SITTING_S = 1.0
"""Between the key that was measured and the one that closes the program."""
DOWN = b"\x1b[B"
BARE = str(Path(__file__).with_name("bare_app.py"))
BENCH = "from bench.cli import main; main()"
WITH_PYDANTIC = f"import pydantic, runpy, sys; runpy.run_path({BARE!r}, run_name='__main__')"


@dataclass(frozen=True)
class Started:
    """Seconds from the start until all words are on the screen, and until a key is answered."""

    shown_s: float
    answered_s: float


class Watched:
    """A program in a pseudo-terminal; what it writes is kept with the seconds since its start."""

    def __init__(self, command: list[str]) -> None:
        env = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        env.pop("PYTHONDONTWRITEBYTECODE", None)
        self.written: list[tuple[float, bytes]] = []
        self.begun = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.execvpe(command[0], command, env)
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", HEIGHT, WIDTH, 0, 0))

    def until_written(self, words: Iterable[str]) -> float:
        """Read until all words were written in one piece each; return the seconds since the start.

        They are sought in the bytes: an emulator would take time from the program. Raises
        AssertionError with those that did not come.
        """
        missing, seen = {word.encode() for word in words}, b""
        while missing:
            more = self._read(LONGEST_S)
            if not more:
                raise AssertionError(f"never on the screen: {sorted(missing)}")
            seen += more
            missing = {word for word in missing if word not in seen}
        return self.written[-1][0]

    def press(self, key: bytes) -> float:
        """Press a key, and read until nothing more comes; return when it was pressed."""
        at = time.perf_counter() - self.begun
        os.write(self.fd, key)
        while self._read(QUIET_S):
            pass
        return at

    def changed_after(self, at: float, mark: str) -> float:
        """When the line with a mark was first another one than at a time, in seconds."""
        screen = pyte.Screen(WIDTH, HEIGHT)
        stream = pyte.ByteStream(screen)
        before: list[str] | None = None
        for when, data in self.written:
            if when > at and before is None:
                before = [line for line in screen.display if mark in line]
            stream.feed(data)
            if before is not None and before != [line for line in screen.display if mark in line]:
                return when
        raise AssertionError("\n".join(screen.display))

    def _read(self, longest_s: float) -> bytes:
        if not select.select([self.fd], [], [], longest_s)[0]:
            return b""
        try:
            data = os.read(self.fd, 65536)
        except OSError:
            return b""
        self.written.append((time.perf_counter() - self.begun, data))
        return data

    def close(self, key: bytes) -> None:
        """Close the program by a key, or kill it where there is none."""
        if key:
            time.sleep(SITTING_S)
            self.press(key)
        else:
            os.kill(self.pid, 9)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


def start(command: list[str], words: Iterable[str], mark: str, key: bytes, leave: bytes) -> Started:
    """Start a program, wait for its words, press a key and see when the marked line is another.

    mark: what stands in the marked line; leave: the key that closes it, none to kill it.
    """
    watched = Watched(command)
    shown = watched.until_written(words)
    pressed = watched.press(key)
    answered = watched.changed_after(pressed, mark)
    watched.close(leave)
    return Started(shown, answered)


def titles(home: Path) -> set[str]:
    """The titles of all patterns and commissions, read by the library."""
    library = Library(home)
    return {
        *(library.plan(entry.path).pattern.title for entry in library.patterns()),
        *(library.commission(entry.path).title for entry in library.commissions()),
    }


def measure(rounds: int) -> None:
    """Measure and print."""
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        used, killed = Path(folder) / "used", Path(folder) / "killed"
        furnish(used, 10, 4)
        furnish(killed, 10, 4)
        fresh = (Path(folder) / f"fresh-{number}" for number in range(10_000))
        shipped = titles(next(fresh))
        own = {*titles(used), "20,004 crosses made", "604 crosses made"}

        def bench(home: Path, words: set[str], leave: bytes) -> Started:
            line = [python, "-c", BENCH, "--home", str(home)]
            return start(line, words, "▶", DOWN, leave)

        kinds: dict[str, Callable[[], Started]] = {
            "bare label": lambda: start([python, BARE], ["READY 0"], "READY", b"x", b""),
            "bare, Pydantic": lambda: start(
                [python, "-c", WITH_PYDANTIC], ["READY 0"], "READY", b"x", b""
            ),
            "used": lambda: bench(used, own, b"q"),
            "killed": lambda: bench(killed, own, b""),
            "fresh": lambda: bench(next(fresh), shipped, b"q"),
        }
        found: dict[str, list[Started]] = {kind: [] for kind in kinds}
        for number in range(rounds + 1):
            for kind, once in kinds.items():
                took = once()
                if number:
                    found[kind].append(took)
    floor = found["bare label"]
    for kind, all_ in found.items():
        shown, answered = (
            (statistics.median(getattr(s, name) for s in all_), base)
            for name in ("shown_s", "answered_s")
            for base in [statistics.median(getattr(s, name) for s in floor)]
        )
        print(
            f"{kind:16} all titles {1000 * shown[0]:4.0f} ms (x{shown[0] / shown[1]:.2f}),"
            f" key answered {1000 * answered[0]:4.0f} ms (x{answered[0] / answered[1]:.2f})"
        )


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
