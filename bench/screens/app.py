"""The full-screen app: what it holds, and how it goes from one screen to the next.

Only Textual is imported before the first paint; everything else is read after it.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import signal
import sys
import time
from collections.abc import Sequence
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from textual.binding import Binding
from textual.worker import get_current_worker

from bench.screens.companion_app import CompanionApp
from bench.screens.journal_watch import RETRY_S, Watch
from bench.screens.kit.any_bytes import bear_any_bytes
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.list_screen import ListScreen
from bench.screens.kit.themes import LIGHT_OF_16, THEMES
from bench.screens.lists.first_list import (
    first_rows,
    journal_files,
    keep_pieces,
    kept_settings,
)
from bench.screens.lists.home_screen import HomeScreen
from bench.session import Session

if TYPE_CHECKING:
    from textual.driver import Driver

    from bench.journal.clock import Clock
    from bench.screens.lists.home_entry import HomeEntry


BESIDE_KEYS = ("bench.screens.lists.card_facts", "bench.journal.store", "bench.journal.rescue")
"""Modules that are loaded while keys are heard already."""
SHORT_TURN_S = 0.0002
"""How long other threads keep a key waiting, each time, while all is read."""
IN_BACKGROUND = "braid-bench is in the background; fg brings it back, on the same cross."
TAKEN_OVER = "The other braid-bench has gone: this one writes to the journal from now on."


class BenchApp(CompanionApp):
    """The companion at the stand."""

    TITLE = "braid-bench"
    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False
    """A press is a touch; to select, Textual would look for the parent of a widget that is gone."""
    CSS = "Screen { background: $background; }"
    BINDINGS = [
        Binding("ctrl+c", "interrupt", show=False, priority=True),
        Binding("ctrl+z", "to_background", show=False, priority=True),
    ]

    def __init__(self, home: Path | None = None, clock: Clock | None = None) -> None:
        super().__init__(Session(home, clock))
        self.last_words = ""
        for theme in (*THEMES.values(), LIGHT_OF_16):
            self.register_theme(theme)
        kept = self.kept = kept_settings(self.session.index, self.session.home)
        self.take_theme(kept.theme if kept is not None and kept.theme in THEMES else "dark")
        if kept is not None:
            self.set_keymap(kept.keymap)
        self.first.home.rows = first_rows(self.session.folders, self.session.index)
        self._turn_s = sys.getswitchinterval()
        self._stamps: tuple[object, ...] = ()

    def get_driver_class(self) -> type[Driver]:
        """What Textual reads and writes by: its own, and for a page one that is within bounds."""
        usual = super().get_driver_class()
        if usual.__name__ != "WebDriver":
            return usual
        from bench.screens.page_driver import PageDriver

        return PageDriver

    def get_default_screen(self) -> HomeScreen:
        """The list, which lies below every other screen."""
        return self.first

    def on_mount(self) -> None:
        """Read everything once the list is painted."""
        self.call_after_refresh(self.run_worker, self._read_first, thread=True)

    def _read_first(self) -> None:
        """Load and read, beside the keys, all that needs no journal."""
        sys.setswitchinterval(SHORT_TURN_S)
        for name in BESIDE_KEYS:
            import_module(name)

        self.keep_what_shows(time.time_ns())
        self.call_from_thread(self.read_all)

    def read_all(self) -> None:
        """Open the journal, and go on with what was read; say what is wrong with any of it."""
        from bench.screens.signals import Endings

        session = self.session
        # A page that is loaded anew finds its program of before still closing.
        session.hold_journal(wait_s=2.0 if self.is_web else 0.0)
        self.guard = Watch(session.journal)
        if not self.is_headless:
            Endings(self, self._let_go, lambda: self.guard.keep_aside()).be_ready()
        notices = [*session.warnings]
        if not self.go_by_settings():
            known = ", ".join(THEMES)
            notices.append(f"There is no theme '{self.settings.theme}'; known: {known}.")
        self.is_ready = True
        self.first.home.notices = notices
        self.first.home.news = session.sqlite_news()
        self.first.home.loading = False
        self.fill_home()
        too_soon, self.too_soon = self.too_soon, []
        for hear in too_soon:
            hear()
        sys.setswitchinterval(self._turn_s)
        self._stamps = session.stamps()
        notices += session.take_in().refusals
        self.set_interval(RETRY_S, self._try_again)
        self.run_worker(self._check_journal, thread=True, exit_on_error=False)

    # The journal, whatever screen is up

    def _try_again(self) -> None:
        if self.looking_on:
            self._try_to_write()
        elif self.guard.try_again():
            self._look_again()
        self._look_at_files()
        day = dt.datetime.fromtimestamp(self.session.clock.now().wall).astimezone().date()
        if not self.looking_on and self.guard.wants_backup(day):
            self.run_worker(partial(self._back_up, day), thread=True, exit_on_error=False)

    def _back_up(self, day: dt.date) -> None:
        worker = get_current_worker()
        said = self.guard.back_up(day, lambda: worker.is_cancelled)
        if said and not worker.is_cancelled:
            self.call_from_thread(self.first.home.notices.append, said)

    def _look_at_files(self) -> None:
        """Take in what commands have left, and documents that another program has changed.

        What is up at the stand stays as it is: it is told on the list.
        """
        from bench.craft.words import plural

        home, taken = self.first.home, self.session.take_in()
        for piece in taken.pieces:
            self.pace.touch(piece)
        if taken.pieces:
            home.notices.append(f"Taken in from a command: {plural(len(taken.pieces), 'piece')}.")
        home.notices += taken.refusals
        stamps = self.session.stamps()
        changed, self._stamps = stamps != self._stamps, stamps
        if (changed or taken.pieces or taken.refusals) and isinstance(self.screen, ListScreen):
            self.screen.documents_changed()

    def _try_to_write(self) -> None:
        """Take the journal over once nobody else writes to it, and say so.

        Only on the list and at a piece: what other pages show was read before.
        """
        from bench.screens.bench.screen import BenchScreen

        here, home, looked_on = self.screen, self.first.home, self.looking_on
        if self.times.busy or not isinstance(here, HomeScreen | BenchScreen):
            return
        if not self.session.take_over():
            return
        self.guard = Watch(self.journal)
        home.notices = [notice for notice in home.notices if notice != looked_on]
        home.notices += [] if self.journal is None else self.journal.reports
        self.guard.tell(TAKEN_OVER)
        if isinstance(here, BenchScreen):
            self.pop_screen()
            self.take_up(here.braid.piece)
        else:
            self.fill_home()

    def _look_again(self) -> None:
        if isinstance(self.screen, BoardScreen):
            self.screen.look_again()

    def _check_journal(self) -> None:
        worker = get_current_worker()
        if not self.guard.is_sound(self.clock, lambda: worker.is_cancelled):
            self.call_from_thread(self._mend_journal)

    def _mend_journal(self) -> None:
        if self.looking_on:
            self.guard.tell(
                "The journal is damaged. The window that writes to it sets it aside when it is"
                " opened next, and saves what can be read."
            )
        else:
            self.guard.mend()
        self._look_again()

    def action_interrupt(self) -> None:
        """Leave what is up: the bench as by its own key, the list by closing, a page by going back.

        Nothing is lost by it, whenever it comes.
        """
        if isinstance(self.screen, BoardScreen):
            self.screen.interrupt()
        else:
            self.simulate_key("escape")

    def action_to_background(self) -> None:
        """Give the terminal back to the shell until that brings the program back."""
        if os.name != "posix" or self._driver is None or not self._driver.can_suspend:
            return
        with self.suspend():
            print(IN_BACKGROUND, flush=True)
            os.kill(os.getpid(), signal.SIGTSTP)

    async def on_unmount(self) -> None:
        """Let the journal go; what cannot be saved even now is kept elsewhere."""
        if self.is_ready:
            self.speaker.close()
        self._let_go()

    def _let_go(self) -> None:
        from bench.journal.errors import JournalError
        from bench.screens.lists.home_entries import list_rows

        if self.journal is None or self.guard.journal is None:
            return
        rows: Sequence[HomeEntry] = ()
        if not (self.looking_on or self.guard.waiting):
            with contextlib.suppress(JournalError):
                rows = list_rows(self.session)
        self.last_words = self.guard.close() or self.last_words
        if rows and not os.path.lexists(journal_files(self.session.journal_path)[1]):
            keep_pieces(self.session.index, rows, self.session.journal_path)
        self.session.index.save()


def run(home: Path | None = None, clock: Clock | None = None) -> int:
    """Run the app until it is closed; then tell what is left to tell. Returns its status."""
    bear_any_bytes()
    app = BenchApp(home, clock)
    app.run()
    if app.last_words:
        from bench.craft.text import cleaned

        print(cleaned(app.last_words, 4000), file=sys.stderr)
    return app.return_code or 0
