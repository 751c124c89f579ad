"""Watches over the journal while the app runs: what is wrong with it is told, and tried again.

Nothing is imported before the first paint but the standard library.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from bench.screens.kit.canvas import Canvas, wrap

if TYPE_CHECKING:
    import datetime as dt

    from bench.journal.clock import Clock
    from bench.journal.store import Journal

RETRY_S = 2.0
"""How often a write that failed is tried again, besides at every key."""
READ_S = 5.0
"""For so long what was told stays up at least, whatever is pressed."""
AT_REST_S = 30.0
"""Without a key for so long there is nothing to do, and a backup holds up nobody."""
REST_S = 0.002
"""A pause after every hundred events that are read in the background."""


class Watch:
    """What the maker must know about the journal, whatever screen is up."""

    def __init__(self, journal: Journal | None = None) -> None:
        self.journal = journal
        self.notice = ""
        self._since = 0.0
        self._heard = time.monotonic()
        self._backed_up = -math.inf
        self._told = 0 if journal is None else len(journal.reports)

    @property
    def banner(self) -> str:
        """What stands over every screen while something is not saved, or nothing."""
        journal = self.journal
        if journal is None or not (journal.pending or journal.trouble):
            return ""
        return f"NOT SAVED ({len(journal.pending)})  {journal.trouble}"

    @property
    def waiting(self) -> str:
        """How much is not saved, in words; nothing if all is."""
        pending = 0 if self.journal is None else len(self.journal.pending)
        return "" if not pending else "1 change" if pending == 1 else f"{pending} changes"

    def tell(self, notice: str) -> None:
        """Write a sentence over every screen until it has been up for a while and a key comes."""
        self.notice, self._since = notice, time.monotonic()

    def heard(self) -> None:
        """A key was pressed: what was told long enough ago has been read."""
        self._heard = time.monotonic()
        if self.notice and time.monotonic() - self._since >= READ_S:
            self.notice = ""

    def reports(self) -> list[str]:
        """What was done about damage or loss since this was last asked."""
        if self.journal is None:
            return []
        new = self.journal.reports[self._told :]
        self._told += len(new)
        return new

    def try_again(self) -> bool:
        """Try to write what could not be written; say whether anything has changed."""
        from bench.journal.errors import NotSaved

        before = self.banner
        if before and self.journal is not None:
            try:
                self.journal.retry()
            except NotSaved:
                return self.banner != before
        return self.banner != before

    def is_sound(self, clock: Clock | None, stop: Callable[[], bool]) -> bool:
        """Read the whole journal through one of its own; for another thread, while hands work.

        What cannot be said, as where the journal cannot be read at all, counts as sound: that is
        told elsewhere.
        """
        from bench.journal.errors import Damaged, JournalError
        from bench.journal.store import Journal

        def rest() -> None:
            time.sleep(REST_S)
            if stop():
                raise InterruptedError

        if self.journal is None:
            return True
        try:
            with Journal.open(self.journal.path, write=False, clock=clock) as reader:
                return reader.check(rest)
        except Damaged:
            return False
        except (JournalError, InterruptedError):
            return True

    def wants_backup(self, day: dt.date) -> bool:
        """Whether hands rest, and a backup of the day is due that was not tried shortly before."""
        now, journal = time.monotonic(), self.journal
        if journal is None or min(now - self._heard, now - self._backed_up) < AT_REST_S:
            return False
        from bench.journal.backups import AGAIN_S, is_due

        if now - self._backed_up < AGAIN_S or not is_due(journal.path, day):
            return False
        self._backed_up = now
        return True

    def back_up(self, day: dt.date, stop: Callable[[], bool]) -> str:
        """Make the backup of a day, for another thread; return why it could not be made, or ""."""
        import sqlite3

        from bench.journal.backups import make
        from bench.journal.errors import JournalError

        def rest() -> None:
            time.sleep(REST_S)
            if stop():
                raise InterruptedError

        if self.journal is None:
            return ""
        try:
            make(self.journal.path, day, rest)
        except InterruptedError:
            return ""
        except (OSError, JournalError, sqlite3.Error) as error:
            return f"No backup of the journal could be made: {error}."
        return ""

    def mend(self) -> None:
        """Have a damaged journal mended, which its reports then tell."""
        from bench.journal.errors import JournalError

        try:
            if self.journal is not None:
                self.journal.check()
        except JournalError as error:
            self.tell(str(error))

    def close(self) -> str:
        """Let the journal go, once; return what is left to tell.

        What cannot be saved even now is kept in a file.
        """
        journal = self.journal
        if journal is None:
            return ""
        many, self.journal = self.waiting, None
        journal.close()
        if not journal.pending:
            return ""
        from bench.journal.rescue import folders_for, keep

        file = keep(journal.pending, folders_for(journal.folder))
        if file is None:
            return f"{many} could not be saved anywhere: {journal.trouble}."
        return (
            f"{many} could not be saved in the journal ({journal.trouble}) and lie in {file};"
            f" once the journal can be written, take them in with: braid-bench import {file}"
        )

    def keep_aside(self) -> None:
        """Keep what is not saved in a file, from another thread than the one that may hang."""
        from bench.journal.rescue import folders_for, keep

        journal = self.journal
        if journal is not None and journal.pending:
            keep(tuple(journal.pending), folders_for(journal.folder))

    def draw_over(self, canvas: Canvas) -> Canvas:
        """Return a drawn screen with what cannot wait written over it."""
        if not (self.banner or self.notice):
            return canvas
        over = Canvas(canvas.width, canvas.height, list(canvas.zones))
        over.rows = [list(row) for row in canvas.rows]
        if self.banner:
            over.fill(0, 0, over.width, 1, "mark")
            over.text(1, 0, self.banner, "mark", over.width - 2)
        if self.notice:
            lines = wrap(self.notice, over.width - 4)[: max(1, over.height // 3)]
            top = over.height - 1 - len(lines)
            over.fill(0, top, over.width, len(lines), "mark")
            for number, line in enumerate(lines):
                over.text(2, top + number, line, "mark", over.width - 4)
        return over
