"""The full-screen app: what it holds, and how it goes from one screen to the next.

Only Textual is imported before the first paint; everything else is read after it.
"""

from __future__ import annotations

import contextlib
import gc
import os
import sys
import time
from collections.abc import Callable, Sequence
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App
from textual.worker import get_current_worker

from bench.screens.journal_watch import RETRY_S, Watch
from bench.screens.kit.any_bytes import bear_any_bytes
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.list_screen import ListScreen
from bench.screens.kit.themes import LIGHT_OF_16, THEMES, shows_colours, theme_for
from bench.screens.lists.first_list import (
    KeptSettings,
    first_rows,
    journal_files,
    keep_pieces,
    keep_settings,
    kept_settings,
)
from bench.screens.lists.home_screen import HomeScreen
from bench.session import Session

if TYPE_CHECKING:
    from textual.driver import Driver

    from bench.documents.library import Library
    from bench.documents.settings import Settings
    from bench.journal.clock import Clock
    from bench.journal.store import Journal
    from bench.making.braid import Braid
    from bench.screens.bench.mode import Mode
    from bench.screens.bench.rests import Rests
    from bench.screens.bench.screen import BenchScreen
    from bench.screens.bench.speaker import Speaker
    from bench.screens.kit.canvas import Canvas
    from bench.screens.kit.keys import Keys
    from bench.screens.lists.home_entry import HomeEntry
    from bench.slips.maker import Maker
    from bench.timing.pace_service import LivePace, Wanted, WorkedOut


BESIDE_KEYS = ("bench.screens.lists.card_facts", "bench.journal.store")
"""Modules that are loaded while keys are heard already."""
SHORT_TURN_S = 0.0002
"""How long other threads keep a key waiting, each time, while all is read."""
TAKEN_OVER = "The other braid-bench has gone: this one writes to the journal from now on."
UNREAD = "Your times could not be worked out. They are tried again when you come back to the list."


class BenchApp(App[None]):
    """The companion at the stand."""

    TITLE = "braid-bench"
    ENABLE_COMMAND_PALETTE = False
    CSS = "Screen { background: $background; }"

    settings: Settings
    keys: Keys
    library: Library
    pace: LivePace
    speaker: Speaker
    rests: Rests

    def __init__(self, home: Path | None = None, clock: Clock | None = None) -> None:
        super().__init__()
        self.session = Session(home, clock)
        self.clock = clock
        self.journal: Journal | None = None
        self.looking_on = ""
        self.guard = Watch()
        self.last_words = ""
        for theme in (*THEMES.values(), LIGHT_OF_16):
            self.register_theme(theme)
        kept = self._kept = kept_settings(self.session.index, self.session.home)
        self._take_theme(kept.theme if kept is not None and kept.theme in THEMES else "dark")
        if kept is not None:
            self.set_keymap(kept.keymap)
        self.first = HomeScreen(self)
        self.first.home.rows = first_rows(self.session.folders, self.session.index)
        self._turn_s = sys.getswitchinterval()
        self._too_soon: list[Callable[[], object]] = []
        self.is_ready = False
        """Whether settings, documents and journal have been read."""
        self._reading = False
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
        from bench.screens.kit.keys import Keys
        from bench.screens.kit.list_screen import keymap

        begun = time.time_ns()
        settings = self.session.settings
        keys, wanted = Keys(settings), settings.theme
        kept = KeptSettings(wanted, keymap(settings), keys.signs)
        keep_settings(self.session.index, self.session.home, kept, begun)
        self.call_from_thread(self.read_all, keys)

    def read_all(self, keys: Keys) -> None:
        """Open the journal, and go on with what was read; say what is wrong with any of it."""
        from bench.screens.bench.rests import Rests
        from bench.screens.bench.speaker import Speaker
        from bench.screens.kit.list_screen import keymap
        from bench.screens.signals import Endings

        session = self.session
        self.clock, self.library = session.clock, session.library
        self.settings, self.keys = session.settings, keys
        # A page that is loaded anew finds its program of before still closing.
        session.hold_journal(wait_s=2.0 if self.is_web else 0.0)
        self._hold(session)
        if not self.is_headless:
            Endings(self, self._let_go, lambda: self.guard.keep_aside()).be_ready()
        notices = list(session.warnings)
        wanted = self.settings.theme or "dark"
        if not self._take_theme(wanted):
            notices.append(f"There is no theme '{wanted}'; known: {', '.join(THEMES)}.")
        self.set_keymap(keymap(self.settings))
        self.is_ready = True
        self.speaker = Speaker(self.settings.spoken.command, self.settings.spoken.text)
        self.rests = Rests()
        self.first.home.notices = notices
        self.first.home.loading = False
        self.fill_home()
        too_soon, self._too_soon = self._too_soon, []
        for hear in too_soon:
            hear()
        sys.setswitchinterval(self._turn_s)
        self._stamps = session.stamps()
        notices += session.take_in().refusals
        self.set_interval(RETRY_S, self._try_again)
        self.run_worker(self._check_journal, thread=True, exit_on_error=False)

    def _take_theme(self, name: str) -> bool:
        """Use a theme, if there is one of that name."""
        if name in THEMES:
            self.theme = theme_for(name, self.console.color_system).name
        return name in THEMES

    def knows_keys(self) -> bool:
        """Whether keys are what the maker has set, be it as they were kept."""
        return self.is_ready or self._kept is not None

    def hear_later(self, hear: Callable[[], object]) -> None:
        """Call this as soon as all is read: to hear a key or a touch that came too soon."""
        self._too_soon.append(hear)

    def named_keys(self, label: str) -> str:
        """The usual names of keys in a foot, 'UP DOWN', as the maker's own keys are named."""
        if self.is_ready:
            return self.keys.foot(label)
        return label if self._kept is None else self._kept.foot(label)

    # The journal, whatever screen is up

    def heard(self) -> None:
        """A key was pressed: what was told has been read."""
        self.guard.heard()

    def watch_over(self, canvas: Canvas) -> Canvas:
        """Return a drawn screen with what is wrong with the journal written over it."""
        for report in self.guard.reports():
            self.first.home.notices.append(report)
            self.guard.tell(report)
        return self.guard.draw_over(canvas)

    def _try_again(self) -> None:
        if self.looking_on:
            self._try_to_write()
        elif self.guard.try_again():
            self._redraw()
        self._look_at_files()

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

    def read_settings_again(self) -> None:
        """Go by the settings as they are now, and say what is wrong with them."""
        home, before = self.first.home, self.session.settings_wrong
        begun = time.time_ns()
        if not self.session.read_settings_again():
            return
        from bench.screens.bench.speaker import Speaker
        from bench.screens.kit.keys import Keys
        from bench.screens.kit.list_screen import keymap

        home.notices = [notice for notice in home.notices if notice != before]
        home.notices += filter(None, [self.session.settings_wrong])
        settings = self.settings = self.session.settings
        self.keys = Keys(settings)
        self.set_keymap(keymap(settings))
        self._take_theme(settings.theme or "dark")
        self.speaker.close()
        self.speaker = Speaker(settings.spoken.command, settings.spoken.text)
        kept = KeptSettings(settings.theme, keymap(settings), self.keys.signs)
        keep_settings(self.session.index, self.session.home, kept, begun)

    def _try_to_write(self) -> None:
        """Take the journal over once nobody else writes to it, and say so.

        Only on the list and at a piece: what other pages show was read before.
        """
        from bench.screens.bench.screen import BenchScreen

        here, home, looked_on = self.screen, self.first.home, self.looking_on
        if self._reading or not isinstance(here, HomeScreen | BenchScreen):
            return
        if not self.session.take_over():
            return
        self._hold(self.session)
        home.notices = [notice for notice in home.notices if notice != looked_on]
        home.notices += [] if self.journal is None else self.journal.reports
        self.guard.tell(TAKEN_OVER)
        if isinstance(here, BenchScreen):
            self.pop_screen()
            self.take_up(here.braid.piece)
        else:
            self.fill_home()

    def _hold(self, session: Session) -> None:
        """Go by the journal that the session holds now."""
        from bench.timing.pace_service import LivePace

        self.journal, self.looking_on = session.journal, session.looking_on
        self.pace = LivePace(self.journal, session.clock, self.library, keep=not self.looking_on)
        self.guard = Watch(self.journal)

    def _redraw(self) -> None:
        if isinstance(self.screen, BoardScreen):
            self.screen.redraw()

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
        self._redraw()

    # From one screen to the next

    def fill_home(self) -> None:
        """Make the list anew, and read the documents that are in sight."""
        if not self.is_ready:
            return
        from bench.screens.lists.home_entries import list_rows

        self.read_settings_again()
        home = self.first.home
        here = home.entry if home.picked else None
        sought = [home.sought, *([here.ref] if here is not None else [])]
        from bench.screens.lists.expected_times import finished_news

        self.pace.renew()
        made = self.pace.pieces if self.pace.known else ()
        home.sought = ""
        home.show_rows(list_rows(self.session, made), sought)
        home.news = finished_news(self.pace) or home.news
        if not (self.looking_on or self.guard.waiting):
            keep_pieces(self.session.index, home.rows, self.session.journal_path)
        self.read_rows()
        self.session.index.save()
        self.read_times()

    def read_rows(self) -> None:
        """Read the documents of the lines in sight."""
        if not self.is_ready:
            return
        from bench.screens.lists.home_entries import braid_of, read_rows

        home = self.first.home
        first = max(0, home.picked - self.size.height)
        in_sight = home.shown[first : home.picked + self.size.height]
        home.rows = read_rows(self.session, self.pace, home.rows, in_sight)
        home.braid = None if home.entry is None else braid_of(self.session, home.entry)
        home.colours = shows_colours(self.console)
        self.first.redraw()

    def take_up(self, piece: str) -> None:
        """Go on with a piece in the making."""
        from bench.journal.errors import JournalError
        from bench.making.braid import Braid

        assert self.journal is not None
        try:
            self.to_bench(Braid(self.journal, piece))
        except KeyError:
            self._tell("How this piece began is lost from the journal; start it anew.")
        except JournalError as error:
            self._tell(str(error))

    def to_bench(self, braid: Braid, asks: Callable[[BenchScreen], Mode] | None = None) -> None:
        """Show the bench with a braid, and what it asks first."""
        from bench.screens.bench.screen import BenchScreen

        self.pace.touch(braid.piece)
        if self.screen is self.first:
            self.first.home.sought = braid.piece
        bench = BenchScreen(self, braid, asks)
        if not braid.made and braid.state.stage != "load":
            bench.said = self.stand_taken()
        self.push_screen(bench)

    def stand_taken(self) -> str:
        """Say that a piece dries on the maker's stand; nothing while a stand is free."""
        from bench.screens.kit.drying import stand_taken

        return stand_taken(self.journal, self.settings.stand.stands, self.session.clock)

    def load_next_set(self, braid: Braid) -> None:
        """Lay a loaded set aside and load the next one of its batch."""
        from bench.commission.starting import next_of_batch

        following = next_of_batch(braid, self.pace.pieces)
        self.pace.touch(following.piece)
        self.pop_screen()
        self.to_bench(following)

    def weigh(self, braid: Braid) -> None:
        """Ask for the weight of some beads of a piece."""
        from bench.screens.preparing.weighing_screen import WeighScreen

        self.push_screen(WeighScreen(self, braid))

    def measure(self, braid: Braid) -> None:
        """Ask for the measures of a piece that is finished."""
        from bench.screens.preparing.measuring_screen import MeasureScreen

        self.push_screen(MeasureScreen(self, braid))

    def ask_how_it_came_out(self, braid: Braid) -> None:
        """Go to the bench with a piece whose stages are done, and ask how it came out."""
        from bench.screens.bench.ending import Ending

        done = braid.next_stage is None and braid.state.stage is None
        self.to_bench(braid, Ending if done else None)

    def show_piece(self, piece: str) -> None:
        """Show what is kept of a piece, and what can be taken back."""
        from bench.journal.errors import JournalError
        from bench.making.braid import Braid
        from bench.screens.lists.piece_screen import PieceScreen

        assert self.journal is not None
        try:
            self.push_screen(PieceScreen(self, Braid(self.journal, piece)))
        except KeyError:
            self._tell("Only a piece that was made at the bench has a page.")
        except JournalError as error:
            self._tell(str(error))

    def show_times(self) -> None:
        """Show the maker's times by pattern."""
        from bench.screens.lists.pace_screen import PaceScreen

        self.push_screen(PaceScreen(self))

    def draw_pattern(self, name: str, *, copy: bool) -> None:
        """Put a pattern on the drawing board; a shipped one is copied."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.drawing.draft import opened
        from bench.screens.drawing.screen import DrawingScreen

        try:
            self.push_screen(DrawingScreen(self, opened(self.library, name, copy=copy)))
        except (DocumentError, Fault) as error:
            self.first.home.said = str(error)

    def begin_pattern(self) -> None:
        """Begin a new pattern on the drawing board."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.drawing.draft import begun
        from bench.screens.drawing.screen import DrawingScreen

        try:
            self.push_screen(DrawingScreen(self, begun(self.library, "kongo-8")))
        except (DocumentError, Fault) as error:
            self.first.home.said = str(error)

    def show_commission(self, name: str) -> None:
        """Show the lots of a commission; Enter starts the next piece of one."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.lists.commission_screen import CommissionScreen

        try:
            self.push_screen(CommissionScreen(self, name))
        except (DocumentError, Fault) as error:
            self.first.home.said = str(error)

    def read_times(self) -> None:
        """Read and fit the maker's times in another thread; the screen that is up is told."""
        pace = self.pace
        if pace.stale and not self._reading:
            self._reading, wanted = True, pace.ask()
            work = partial(self._read_times, wanted)
            self.run_worker(work, thread=True, exit_on_error=False)

    def _read_times(self, wanted: Wanted) -> None:
        from bench.journal.errors import JournalError

        worker, pace = get_current_worker(), self.pace
        said, found = UNREAD, None
        # Thousands of new objects that all stay: a collection would go through them, and hold up
        # a key for tens of milliseconds.
        gc.disable()
        try:
            found = pace.work_out(wanted, lambda: worker.is_cancelled)
            said = ""
        except JournalError as error:
            said = str(error)
        finally:
            if not worker.is_cancelled:
                self.call_from_thread(self._times_read, found, said)

    def _times_read(self, found: WorkedOut | None, said: str) -> None:
        self._reading = False
        if found is None:
            gc.enable()
            self.pace.stale = True
            if said not in self.first.home.notices:
                self.first.home.notices.append(said)
        else:
            self.pace.take(found)
            gc.freeze()
            gc.enable()
            self.read_times()
        if isinstance(self.screen, BoardScreen):
            self.screen.times_read()

    def leave_bench(self, said: str = "") -> None:
        """Go back to the list, with something to say; the piece keeps its place."""
        self.pop_screen()
        if said:
            self._tell(said)

    def _tell(self, said: str) -> None:
        if isinstance(self.screen, BoardScreen):
            self.screen.told(said)

    def ask_to_give_up(self, piece: str, name: str) -> None:
        """Ask why a piece in the making is given up; the answer gives it up."""
        from bench.making.reasons import FROM_THE_LIST, reasons_of
        from bench.screens.kit.reason_entry import ReasonEntry

        def keep(reason: str | None) -> None:
            self._give_up(piece, reason or FROM_THE_LIST)
            self.first.home.said = self.first.home.said or f"{name} is given up."
            self.first.redraw()

        asks = f"{name} is given up and leaves this list. Why?"
        self.push_screen(ReasonEntry(self, asks, reasons_of(self.journal), keep))

    def _give_up(self, piece: str, reason: str) -> None:
        """Give a piece in the making up, one whose plan cannot be read too."""
        from bench.journal.errors import JournalError
        from bench.journal.payloads import GivenUp

        assert self.journal is not None
        try:
            self.journal.append(GivenUp(reason), pieces=piece)
        except JournalError as error:
            self.first.home.said = str(error)
        self.pace.touch(piece)
        self.fill_home()

    def mark_trial(self, piece: str) -> None:
        """Mark a piece in the making as only tried out, or as counting after all."""
        from bench.journal.errors import JournalError
        from bench.journal.payloads import TriedOut

        assert self.journal is not None
        try:
            self.journal.append(TriedOut(not self.journal.state(piece).trial), pieces=piece)
        except JournalError as error:
            self.first.home.said = str(error)
        self.pace.touch(piece)
        self.fill_home()

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready."""
        from bench.screens.lists.expected_times import spent_and_ready

        if not self.settings.press.show_times:
            return "", ""
        return spent_and_ready(self.pace.figures, braid, self.session.clock.now())

    def maker(self) -> Maker:
        """The maker as the settings say, with what the journal has taught so far."""
        from bench.making.learning import maker_of

        return maker_of(self.settings, self.journal)[0]

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
