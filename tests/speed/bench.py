"""Key to last byte painted, against a bare app in the same run.

`python -m tests.speed.bench [presses]`. Ratios only mean something within one run.
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
from pathlib import Path

QUIET_S = 0.06
_BENCH = (
    "import sys; from pathlib import Path; from bench.screens.app import run;"
    " run(Path(sys.argv[1]))"
)
_BARE = str(Path(__file__).with_name("bare_app.py"))


class Terminal:
    """A program in a pseudo-terminal, timed by the bytes that it writes."""

    def __init__(self, command: list[str], ready: bytes) -> None:
        env = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        env.pop("PYTHONDONTWRITEBYTECODE", None)
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.execvpe(command[0], command, env)
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        seen = b""
        while ready not in seen:
            seen += os.read(self.fd, 65536)
        self.settle(0.5)

    def settle(self, quiet_s: float = QUIET_S) -> float | None:
        """Read until nothing comes for a while; return when the last byte came."""
        last = None
        while select.select([self.fd], [], [], quiet_s)[0]:
            if not os.read(self.fd, 65536):
                break
            last = time.perf_counter()
        return last

    def press(self, key: bytes) -> float | None:
        """Press a key; return the seconds to the last byte painted."""
        begun = time.perf_counter()
        os.write(self.fd, key)
        last = self.settle()
        return None if last is None else last - begun

    def first(self, key: bytes, most_s: float = 2.0) -> float | None:
        """Press a key; return the seconds to the end of its first paint; then let it settle.

        What follows more than 20 ms behind the paint before it is another paint.
        """
        begun = time.perf_counter()
        os.write(self.fd, key)
        last, wait = None, most_s
        while select.select([self.fd], [], [], wait)[0]:
            if not os.read(self.fd, 65536):
                break
            last, wait = time.perf_counter(), 0.02
        self.settle()
        return None if last is None else last - begun

    def close(self) -> None:
        """Kill the program."""
        os.kill(self.pid, 9)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


def measure(presses: int) -> None:
    """Measure and print, the three programs press by press in turn."""
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        home.mkdir()
        (home / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0\nbell = false\n")
        commands = {
            "bench": ([python, "-c", _BENCH, str(home)], b"BRAID BENCH"),
            "bare with commit": ([python, _BARE, str(Path(folder) / "bare.db")], b"READY"),
            "bare": ([python, _BARE], b"READY"),
        }
        running = {name: Terminal(*command) for name, command in commands.items()}
        bench = running["bench"]
        bench.press(b"\x1b[F")
        bench.press(b"\x1b[A")
        bench.press(b"\r")
        bench.press(b"\r")
        times: dict[str, list[float]] = {name: [] for name in commands}
        for _ in range(presses):
            for name, terminal in running.items():
                took = terminal.press(b" ")
                if took is None:
                    terminal.press(b"m")
                else:
                    times[name].append(took)
        for terminal in running.values():
            terminal.close()
    floor = times["bare with commit"]
    for name, found in times.items():
        ordered = sorted(found)
        middle, far = statistics.median(ordered), ordered[int(0.99 * (len(ordered) - 1))]
        print(
            f"{name:18} key to last byte: {1000 * middle:6.2f} ms median,"
            f" {1000 * far:6.2f} ms 99th  ({len(found)} presses,"
            f" x{middle / statistics.median(floor):.2f}"
            f" x{far / sorted(floor)[int(0.99 * (len(floor) - 1))]:.2f})"
        )


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 500)
