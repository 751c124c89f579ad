"""The spoken line: a program of the maker's own is given a text for every cross.

It runs in a thread of its own, so that no key waits for it, and without a shell.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import threading
from collections.abc import Sequence
from typing import Literal

LOOK_S = 0.1


class Speaker:
    """Says one text at a time: a new one cuts off the one before.

    trouble: what went wrong the first time, one sentence; later troubles are not told.
    """

    def __init__(self, command: Sequence[str], text: Literal["input", "argument"]) -> None:
        self.command = tuple(command)
        self.text = text
        self._told = False
        self._trouble = ""
        self._wanted: str | None = None
        self._ended = False
        self._news = threading.Condition()
        self._thread: threading.Thread | None = None

    def say(self, text: str) -> None:
        """Have a text said, and return at once. Without a command nothing is said."""
        if not self.command:
            return
        with self._news:
            self._wanted = text
            self._news.notify()
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="spoken line", daemon=True)
            self._thread.start()

    def take_trouble(self) -> str:
        """What went wrong, the first time that it is asked for after it did; else ''."""
        said, self._trouble = self._trouble, ""
        return said

    def close(self) -> None:
        """Cut off what is being said, and end."""
        with self._news:
            self._ended = True
            self._news.notify()
        if self._thread is not None:
            self._thread.join(2.0)

    def _run(self) -> None:
        running: subprocess.Popen[bytes] | None = None
        while True:
            with self._news:
                if self._wanted is None and not self._ended:
                    self._news.wait(None if running is None else LOOK_S)
                wanted, self._wanted = self._wanted, None
                ended = self._ended
            if running is not None and running.poll() is not None:
                if running.returncode > 0:
                    self._tell(f"ended with status {running.returncode}")
                running = None
            if (wanted is not None or ended) and running is not None:
                _cut_off(running)
                running = None
            if ended:
                return
            if wanted is not None:
                running = self._start(wanted)

    def _start(self, text: str) -> subprocess.Popen[bytes] | None:
        by_input = self.text == "input"
        # A space before it: what begins with "-" would be taken for an option.
        spoken = f" {text}" if text.startswith("-") else text
        words = self.command if by_input else (*self.command, spoken)
        try:
            running = subprocess.Popen(
                words,
                stdin=subprocess.PIPE if by_input else subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        except (OSError, ValueError) as error:
            self._tell(f"cannot be run ({getattr(error, 'strerror', None) or error})")
            return None
        if running.stdin is not None:
            # A line always finds room in the pipe; a program may end without reading it.
            with contextlib.suppress(OSError), running.stdin as pipe:
                pipe.write(text.encode(errors="replace") + b"\n")
        return running

    def _tell(self, what: str) -> None:
        if not self._told:
            self._told = True
            self._trouble = f"The spoken line's command {what}; see [spoken] in settings.toml."


def _cut_off(running: subprocess.Popen[bytes]) -> None:
    """Kill a program with whatever it has started."""
    if os.name == "posix":
        try:
            os.killpg(running.pid, signal.SIGKILL)
        except (ProcessLookupError, PermissionError):
            running.kill()
    else:
        running.kill()
    running.wait()
