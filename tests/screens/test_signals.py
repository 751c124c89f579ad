"""What the system asks of the program reaches it at any moment."""

from __future__ import annotations

import asyncio
import signal
import threading
from typing import cast

import pytest
from textual.app import App

from bench.screens.signals import Endings


async def test_a_signal_begins_no_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    """What it interrupts may be about to begin one and hold its lock: the loop ends the program."""

    class Told:
        """Notes with what the app was asked to end."""

        code: int | None = None

        def exit(self, return_code: int) -> None:
            """Take the code."""
            self.code = return_code

    def begun(thread: threading.Thread) -> None:
        raise AssertionError(f"{thread.name} was begun")

    told = Told()
    endings = Endings(cast(App[None], told), lambda: None, lambda: None)
    monkeypatch.setattr(threading.Thread, "start", begun)
    endings._heard(signal.SIGTERM, None)
    await asyncio.sleep(0)
    assert told.code == 128 + signal.SIGTERM
