"""What the program does when the system ends it: nothing that is not saved may go with it."""

from __future__ import annotations

import asyncio
import os
import select
import signal
import sys
import threading
import time
from collections.abc import Callable
from queue import SimpleQueue
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.app import App

GRACE_S = 10.0
"""Left to end in good order when asked to; a program that hangs by then ends all the same."""
GONE_S = 3.5
"""Left to end where the terminal is gone."""
KEEP_S = 0.5
"""A program that hangs so long after the terminal went has kept for it what is not saved."""


class Endings:
    """Ends the app in good order when a signal asks for it, or when its terminal is gone.

    Asked to end (SIGTERM), the app leaves as by its own key. Where the terminal is gone (SIGHUP;
    or, where that is ignored, an input that has hung up) nothing can be shown or given back any
    more: `let_go` keeps what must be kept, and the app ends at once. `keep_aside` does that from
    another thread, beside an app that hangs.
    """

    def __init__(
        self, app: App[None], let_go: Callable[[], object], keep_aside: Callable[[], object]
    ) -> None:
        self._app, self._let_go, self._keep_aside = app, let_go, keep_aside
        self._loop = asyncio.get_running_loop()
        self._signals = SimpleQueue[int]()

    def be_ready(self) -> None:
        """Watch from now on, where there are signals."""
        if os.name != "posix":
            return
        for which in (signal.SIGTERM, signal.SIGHUP):
            if signal.getsignal(which) is not signal.SIG_IGN:
                signal.signal(which, self._heard)
        threading.Thread(target=self._wait, name="signals", daemon=True).start()
        threading.Thread(target=self._watch, name="terminal-gone", daemon=True).start()

    def _heard(self, which: int, _: object) -> None:
        # Never in the middle of a write: what is to be done waits for the loop. No thread is begun
        # here either: what the signal interrupts may be about to begin one, and holds its lock.
        self._signals.put(which)
        self._loop.call_soon_threadsafe(self._end, which)

    def _wait(self) -> None:
        """Wait for the first signal, and see to it that the program ends."""
        which = self._signals.get()
        self._see_to_it(which, GRACE_S if which == signal.SIGTERM else GONE_S)

    def _watch(self) -> None:
        """Wait until the input has hung up: a window closed, a page or its server gone."""
        watch = select.poll()
        watch.register(sys.__stdin__ or 0, 0)  # hanging up is told unasked
        watch.poll()
        reading = getattr(self._app._driver, "exit_event", None)
        if reading is not None:
            reading.set()  # of an input that has hung up there is no end
        self._loop.call_soon_threadsafe(self._end, signal.SIGHUP)
        self._see_to_it(signal.SIGHUP, GONE_S)

    def _see_to_it(self, which: int, grace_s: float) -> None:
        """End the program from another thread if it does not by itself."""
        keep_s = grace_s - GONE_S + KEEP_S
        time.sleep(keep_s)
        self._keep_aside()
        time.sleep(grace_s - keep_s)
        os._exit(128 + which)

    def _end(self, which: int) -> None:
        if which == signal.SIGTERM:
            self._app.exit(return_code=128 + which)
            return
        try:
            self._let_go()
        finally:
            signal.signal(which, signal.SIG_DFL)
            os.kill(os.getpid(), which)
