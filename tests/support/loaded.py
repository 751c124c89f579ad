"""A process that has loaded the whole program, and starts it again and again by forking.

A program that is started so is a process of its own, in a terminal of its own, and does all that a
fresh one does but load its modules, which takes most of the time of a short test.
"""

from __future__ import annotations

import atexit
import gc
import json
import os
import pkgutil
import pty
import signal
import socket
import subprocess
import sys
from functools import cache
from importlib import import_module
from typing import Any

LONGEST = 1 << 16
NOT_LOADED = ("bench.__main__", "bench.browser")
"""What the screens do not use."""


class Loaded:
    """The tests' end: asks that process to start programs, and how they ended."""

    def __init__(self) -> None:
        self._socket, other = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        with other:
            command = [sys.executable, "-m", "tests.support.loaded", str(other.fileno())]
            self._process = subprocess.Popen(command, pass_fds=[other.fileno()])
        atexit.register(self._end)

    def _end(self) -> None:
        self._socket.close()
        self._process.wait()

    def start(self, launch: str, *given: str, **env: str) -> tuple[int, int]:
        """Run a Python text in a new terminal; return its process id and that terminal."""
        asked = {"launch": launch, "given": given, "env": {**os.environ, **env}, "cwd": os.getcwd()}
        self._socket.sendall(json.dumps(asked).encode())
        pid, (terminal,), _, _ = socket.recv_fds(self._socket, LONGEST, 1)
        os.set_inheritable(terminal, False)
        return int(pid), terminal

    def status(self, pid: int) -> int | None:
        """Return the exit status of a program as `os.waitpid` gives it, None while it runs."""
        self._socket.sendall(json.dumps({"pid": pid}).encode())
        status: int | None = json.loads(self._socket.recv(LONGEST))
        return status


@cache
def loaded() -> Loaded:
    """The one process of these tests that has loaded the program."""
    return Loaded()


def serve(asked: socket.socket) -> None:
    """Start what is asked for until nobody is left to ask."""
    import bench

    for module in pkgutil.walk_packages(bench.__path__, "bench."):
        if not module.name.startswith(NOT_LOADED):
            import_module(module.name)
    gc.freeze()  # what a collection does not go through is not copied for each program
    while said := asked.recv(LONGEST):
        wanted = json.loads(said)
        if "pid" in wanted:
            pid, status = os.waitpid(wanted["pid"], os.WNOHANG)
            asked.sendall(json.dumps(status if pid else None).encode())
            continue
        pid, terminal = pty.fork()
        if pid == 0:
            asked.close()
            run(wanted)
        socket.send_fds(asked, [str(pid).encode()], [terminal])
        os.close(terminal)


def run(wanted: dict[str, Any]) -> None:
    """Be the program that is asked for, to its end, as a terminal's: it hears of a hang-up."""
    signal.signal(signal.SIGHUP, signal.SIG_DFL)
    os.environ.clear()
    os.environ.update(wanted["env"])
    os.chdir(wanted["cwd"])
    sys.argv[:] = ["-c", *wanted["given"]]
    exec(compile(wanted["launch"], "<launch>", "exec"), {"__name__": "__main__"})
    sys.exit()


if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with socket.socket(fileno=int(sys.argv[1])) as end:
        serve(end)
