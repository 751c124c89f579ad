"""Commands, run in the test's own process on a home that another one may have open."""

from __future__ import annotations

import io
import signal
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from bench.cli import main

MOST_S = 20
"""A command that takes longer waits for what never comes."""


def too_long(*_: object) -> None:
    """Break into whatever waits, an open pipe too."""
    raise AssertionError(f"it has waited for {MOST_S} s")


def say(home: Path, *words: str) -> tuple[int, str, str]:
    """Run a command on a home; return its status and what it printed, in both streams.

    AssertionError if it takes long, any error if it is not caught.
    """
    before = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(MOST_S)
    try:
        with redirect_stdout(io.StringIO()) as out, redirect_stderr(io.StringIO()) as wrong:
            status = main([*words, "--home", str(home)])
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
    return status, out.getvalue(), wrong.getvalue()
