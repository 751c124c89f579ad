"""What the program does when the system ends it: nothing that is not saved may go with it."""

from __future__ import annotations

import asyncio
import os
import signal
import threading
from collections.abc import Callable

GRACE_S = 10.0
"""Left to end in good order; a program that hangs by then ends all the same."""


def be_ready(leave: Callable[[int], object], save: Callable[[], object]) -> None:
    """From now on, end in good order when a signal asks for it (where there are signals).

    Asked to end (SIGTERM), the program leaves as by its own key, with the status that `leave` is
    given. Where the terminal is gone (SIGHUP) nothing can be shown or given back any more: what
    must be kept is kept by `save`, and the program ends at once.
    """
    if os.name != "posix":
        return
    loop = asyncio.get_running_loop()

    def heard(which: int, _: object) -> None:
        # Never in the middle of a write: what is to be done waits for the loop.
        last = threading.Timer(GRACE_S, os._exit, [128 + which])
        last.daemon = True
        last.start()
        loop.call_soon_threadsafe(end, which)

    def end(which: int) -> None:
        if which == signal.SIGTERM:
            leave(128 + which)
            return
        try:
            save()
        finally:
            signal.signal(which, signal.SIG_DFL)
            os.kill(os.getpid(), which)

    for which in (signal.SIGTERM, signal.SIGHUP):
        if signal.getsignal(which) is not signal.SIG_IGN:
            signal.signal(which, heard)
