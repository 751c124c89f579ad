"""The real program in a pseudo-terminal: keys go in, the screen is read back as text."""

from __future__ import annotations

import fcntl
import os
import pty
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

import pyte

from tests.support.loaded import loaded

LAUNCH = (
    "import sys; from pathlib import Path; from bench.screens.app import run;"
    " sys.exit(run(Path(sys.argv[1])))"
)


class Screen:
    """What a terminal of a size shows of what a program wrote, by the emulator pyte."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._shown = pyte.Screen(width, height)
        self._stream = pyte.ByteStream(self._shown)

    def feed(self, data: bytes) -> None:
        """Take in what the program wrote."""
        self._stream.feed(data)

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(line.rstrip() for line in self._shown.display)


class Program:
    """The app, running in a pseudo-terminal of its own on a home folder.

    `before`: words that come before the interpreter on the command line, as a program that takes
    rights away; `launch`: the Python text that is run, with the home folder as its argument;
    `env`: what stands in the environment besides; `fresh`: it loads its own modules, as it does
    with `before` or `env` too.
    """

    def __init__(
        self,
        home: Path,
        width: int = 80,
        height: int = 24,
        *,
        before: Sequence[str] = (),
        launch: str = LAUNCH,
        fresh: bool = False,
        **env: str,
    ) -> None:
        self.screen = Screen(width, height)
        usual = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        self._loaded = None if fresh or before or env else loaded()
        if self._loaded is not None:
            self.pid, self.fd = self._loaded.start(launch, str(home), **usual)
        else:
            command = [*before, sys.executable, "-c", launch, str(home)]
            self.pid, self.fd = pty.fork()
            if self.pid == 0:
                signal.signal(signal.SIGHUP, signal.SIG_DFL)
                os.execvpe(command[0], command, {**os.environ, **usual, **env})
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
            status = self._wait()
            if status is not None:
                self._status = os.waitstatus_to_exitcode(status)
            elif time.monotonic() >= until:
                break
            elif self._open:
                self.read(0.02)
                time.sleep(0.005)
            else:
                time.sleep(0.02)
        return self._status

    def _wait(self) -> int | None:
        if self._loaded is not None:
            return self._loaded.status(self.pid)
        pid, status = os.waitpid(self.pid, os.WNOHANG)
        return status if pid else None

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
