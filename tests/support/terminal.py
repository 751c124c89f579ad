"""The real program in a pseudo-terminal: keys go in, the screen is read back as text."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

_LAUNCH = (
    "import sys; from pathlib import Path; from bench.screens.app import run;"
    " sys.exit(run(Path(sys.argv[1])))"
)
_CSI = re.compile(rb"\x1b\[([0-9;?]*)([ -/]*)([@-~])")
_OTHER = re.compile(rb"\x1b(?:\][^\x07\x1b]*(?:\x07|\x1b\\)|[P_^][^\x1b]*\x1b\\|[^\[\]P_^])")


class Screen:
    """As much of a terminal as is needed to know what stands where."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self.cells = [[" "] * width for _ in range(height)]
        self.x = self.y = 0
        self._rest = b""

    def feed(self, data: bytes) -> None:
        """Take in what the program wrote."""
        data = self._rest + data
        self._rest = b""
        at = 0
        while at < len(data):
            byte = data[at : at + 1]
            if byte == b"\x1b":
                match = _CSI.match(data, at) or _OTHER.match(data, at)
                if match is None:
                    if len(data) - at < 4096:
                        self._rest = data[at:]
                        return
                    at += 1
                    continue
                if match.re is _CSI:
                    self._control(match[1], match[3])
                at = match.end()
            elif byte in (b"\r", b"\n", b"\x08") or byte < b" ":
                if byte == b"\r":
                    self.x = 0
                elif byte == b"\n":
                    self.y = min(self.height - 1, self.y + 1)
                at += 1
            else:
                end = at + 1
                while end < len(data) and data[end] & 0xC0 == 0x80:
                    end += 1
                if end == len(data) and data[at] >= 0xC0 and end - at < _length(data[at]):
                    self._rest = data[at:]
                    return
                self._put(data[at:end].decode("utf-8", "replace"))
                at = end

    def _put(self, ch: str) -> None:
        if 0 <= self.y < self.height and 0 <= self.x < self.width:
            self.cells[self.y][self.x] = ch
        self.x += 1

    def _control(self, args: bytes, final: bytes) -> None:
        if final in (b"H", b"f"):
            parts = [int(p) if p else 1 for p in args.split(b";")] + [1, 1]
            self.y, self.x = parts[0] - 1, parts[1] - 1
        elif final == b"J" and args in (b"2", b"3"):
            self.cells = [[" "] * self.width for _ in range(self.height)]

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join("".join(row).rstrip() for row in self.cells)


def _length(first: int) -> int:
    return 4 if first >= 0xF0 else 3 if first >= 0xE0 else 2


class Program:
    """The app, running in a pseudo-terminal of its own on a home folder.

    `before`: words that come before the interpreter on the command line, as a program that takes
    rights away; `launch`: the Python text that is run, with the home folder as its argument;
    `env`: what stands in the environment besides.
    """

    def __init__(
        self,
        home: Path,
        width: int = 80,
        height: int = 24,
        *,
        before: Sequence[str] = (),
        launch: str = _LAUNCH,
        **env: str,
    ) -> None:
        self.screen = Screen(width, height)
        usual = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        command = [*before, sys.executable, "-c", launch, str(home)]
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.execvpe(command[0], command, {**usual, **env})
        os.set_blocking(self.fd, False)
        self._set_size(width, height)
        self._status: int | None = None
        self._open = True
        self.raw = b""

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.kill()

    def _set_size(self, width: int, height: int) -> None:
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def resize(self, width: int, height: int) -> None:
        """Give the terminal another size; the program is told by the kernel."""
        self._set_size(width, height)
        self.screen = Screen(width, height)

    def read(self, seconds: float) -> None:
        """Take in what comes for so many seconds."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            if not self._read_once(left):
                return

    def settle(self, quiet_s: float = 0.15, most_s: float = 10.0) -> None:
        """Take in what comes until nothing has come for a while."""
        until = time.monotonic() + most_s
        while time.monotonic() < until and select.select([self.fd], [], [], quiet_s)[0]:
            if not self._read_once(0):
                return

    def _read_once(self, seconds: float) -> bool:
        ready, _, _ = select.select([self.fd], [], [], seconds)
        if not ready:
            return True
        try:
            data = os.read(self.fd, 65536)
        except BlockingIOError:
            return True
        except OSError:
            return False
        self.raw += data
        self.screen.feed(data)
        return bool(data)

    def wait_for(self, text: str, seconds: float = 20.0) -> None:
        """Wait until a text stands on the screen, wherever its lines are broken.

        Raises AssertionError if it never does.
        """
        until = time.monotonic() + seconds
        while text not in " ".join(self.screen.text.split()):
            left = until - time.monotonic()
            if left <= 0 or not self._read_once(min(left, 0.2)):
                raise AssertionError(f"{text!r} never appeared:\n{self.screen.text}")

    def type(self, keys: bytes, most_s: float = 15.0) -> None:
        """Type keys, if the program still runs; AssertionError if it reads them no more."""
        until = time.monotonic() + most_s
        while keys and self.ended() is None:
            assert time.monotonic() < until, f"keys are read no more:\n{self.screen.text}"
            ready, free, _ = select.select([self.fd], [self.fd], [], 0.1)
            if ready and not self._read_once(0):
                return
            if free:
                try:
                    keys = keys[os.write(self.fd, keys[:512]) :]
                except BlockingIOError:
                    continue
                except OSError:
                    return

    def press(self, *keys: bytes) -> None:
        """Type keys one after the other, each when the screen has come to rest."""
        for key in keys:
            self.type(key)
            self.settle()

    def send(self, which: signal.Signals) -> None:
        """Send the program a signal."""
        os.kill(self.pid, which)

    def ended(self, seconds: float = 0.0) -> int | None:
        """Wait up to so long for the end; return the exit status (minus the signal), or None."""
        until = time.monotonic() + seconds
        while self._status is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self._status = os.waitstatus_to_exitcode(status)
            elif time.monotonic() >= until:
                break
            elif self._open:
                self.read(0.02)
                time.sleep(0.005)
            else:
                time.sleep(0.02)
        return self._status

    def memory_kb(self) -> int:
        """The most memory that the program has held so far, in kilobytes (Linux).

        0 where it is just ending.
        """
        for line in Path(f"/proc/{self.pid}/status").read_text().splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1])
        return 0

    def hang_up(self) -> None:
        """Close the terminal under the program, as when its window is closed."""
        if self._open:
            self._open = False
            os.close(self.fd)

    def kill(self, how: signal.Signals = signal.SIGKILL) -> None:
        """Kill the program if it still runs, and take in what it wrote before."""
        if self.ended() is None:
            os.kill(self.pid, how)
            self.ended(10.0)
        if self._open:
            self.read(0.05)
            self.hang_up()
