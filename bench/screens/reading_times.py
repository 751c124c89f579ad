"""The maker's times, read and fitted in another thread while keys are heard."""

from __future__ import annotations

import gc
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from textual.app import App
from textual.worker import get_current_worker

if TYPE_CHECKING:
    from bench.timing.pace_service import LivePace, Wanted, WorkedOut

UNREAD = "Your times could not be worked out. They are tried again when you come back to the list."


class ReadingTimes:
    """Reads for an app; `done` is told what went wrong, or nothing once the times are taken in."""

    def __init__(self, app: App[None], done: Callable[[str], None]) -> None:
        self._app, self._done = app, done
        self.busy = False

    def read(self, pace: LivePace) -> None:
        """Read what is stale, unless something is being read."""
        if pace.stale and not self.busy:
            self.busy, wanted = True, pace.ask()
            work = partial(self._work_out, pace, wanted)
            self._app.run_worker(work, thread=True, exit_on_error=False)

    def _work_out(self, pace: LivePace, wanted: Wanted) -> None:
        from bench.journal.errors import JournalError

        worker, said, found = get_current_worker(), UNREAD, None
        # Thousands of new objects that all stay: a collection would go through them, and hold up
        # a key for tens of milliseconds.
        gc.disable()
        try:
            found = pace.work_out(wanted, lambda: worker.is_cancelled)
        except JournalError as error:
            said = str(error)
        finally:
            if not worker.is_cancelled:
                self._app.call_from_thread(self._take, pace, found, said)

    def _take(self, pace: LivePace, found: WorkedOut | None, said: str) -> None:
        self.busy = False
        if found is None:
            gc.enable()
            pace.stale = True
            self._done(said)
            return
        pace.take(found)
        gc.freeze()
        gc.enable()
        self.read(pace)
        self._done("")
