from __future__ import annotations

import signal
from pathlib import Path

import pytest

from tests.faults.test_disk import soundly_made
from tests.support.homes import furnished
from tests.support.terminal import Program


@pytest.mark.parametrize("where", ["list", "piece"])
def test_a_window_that_looked_on_comes_to_write(tmp_path: Path, where: str) -> None:
    """Once the window that wrote is gone, killed even, the one that looked on writes and says so.

    What the other one counted meanwhile is there.
    """
    home = furnished(tmp_path)
    with Program(home) as writer:
        writer.wait_for("IN THE MAKING")
        with Program(home) as second:
            take_over(writer, second, where)
    assert soundly_made(home) == 33


def take_over(writer: Program, second: Program, where: str) -> None:
    """Count in the first window, kill it, and count on in the second."""
    second.wait_for("Another braid-bench writes")
    if where == "piece":
        second.type(b"\x1b[H\r")
        second.wait_for("LOOKING ON")
    writer.type(b"\x1b[H\r")
    writer.wait_for("cross 31 of 72")
    writer.press(b" ", b" ")
    second.type(b" " if where == "piece" else b"")
    writer.kill(signal.SIGKILL)
    second.wait_for("this one writes to the journal from now on", 8.0)
    assert "Another braid-bench" not in second.screen.text
    if where == "list":
        second.type(b"\x1b[H\r")
    second.wait_for("cross 33 of 72")
    assert "LOOKING ON" not in second.screen.text
    second.press(b" ")
    second.wait_for("cross 34 of 72")
    assert b"Traceback" not in second.raw
