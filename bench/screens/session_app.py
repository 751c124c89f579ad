"""The app as its screens know it: one session, its settings, the journal, and the list."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import suppress
from functools import cached_property
from typing import TYPE_CHECKING, Literal

from textual.app import App

from bench.screens.journal_watch import Watch
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.themes import THEMES, theme_for
from bench.screens.lists.first_list import KeptSettings, keep_settings
from bench.screens.reading_times import ReadingTimes

if TYPE_CHECKING:
    from bench.documents.library import Library
    from bench.documents.settings import Settings
    from bench.journal.clock import Clock, Instant
    from bench.journal.store import Journal
    from bench.screens.bench.rests import Rests
    from bench.screens.bench.speaker import Speaker
    from bench.screens.kit.canvas import Canvas
    from bench.screens.kit.keys import Keys
    from bench.screens.lists.home_screen import HomeScreen
    from bench.session import Session
    from bench.timing.pace_service import LivePace


class SessionApp(App[None]):
    """What screens may ask of the app: settings, documents, journal, the list and its times."""

    speaker: Speaker
    per_of: dict[str, Literal["cross", "row"]]
    keys: Keys
    first: HomeScreen

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.guard = Watch()
        self.kept: KeptSettings | None = None
        """What of the settings was kept at the last start, until they are read."""
        self.too_soon: list[Callable[[], object]] = []
        """What is to be heard as soon as all is read."""
        self.is_ready = False
        """Whether settings, documents and journal have been read."""
        self.times = ReadingTimes(self, self._times_read)

    @property
    def settings(self) -> Settings:
        """The maker's settings."""
        return self.session.settings

    @property
    def library(self) -> Library:
        """The documents, shipped and the maker's own."""
        return self.session.library

    @property
    def clock(self) -> Clock:
        """The clock that dates events."""
        return self.session.clock

    @property
    def journal(self) -> Journal | None:
        """The journal that the sitting holds."""
        return self.session.journal

    @property
    def looking_on(self) -> str:
        """Why nothing can be written, where another window writes to the journal; else empty."""
        return self.session.looking_on

    @property
    def cannot_write(self) -> str:
        """Why nothing can be written, whatever the reason; else empty."""
        none = "There is no journal to write to." if self.journal is None else ""
        return self.looking_on or none

    @cached_property
    def rests(self) -> Rests:
        """How long the maker is at work, and what was said of it."""
        from bench.journal.errors import JournalError
        from bench.screens.bench.rests import AT_THE_BENCH, LATELY, Rests

        before: list[Instant] = []
        with suppress(JournalError):
            before = [] if self.journal is None else self.journal.latest(AT_THE_BENCH, LATELY)
        return Rests(before, self.settings.rest)

    @property
    def pace(self) -> LivePace:
        """The pace of what was made so far."""
        return self.session.live_pace

    def kept_of(self, piece: str) -> int:
        """How many changes of a piece could not be saved last time, and are not taken in yet."""
        kept = self.session.kept
        return 0 if kept is None else kept.by_piece[piece]

    def take_in_kept(self) -> str:
        """Take in what could not be saved when the program ended; return what to tell."""
        from bench.craft.words import plural
        from bench.journal.errors import JournalError

        kept = self.session.kept
        try:
            told = self.session.take_in_kept()
        except JournalError as error:
            return str(error)
        if kept is None:
            return ""
        for piece in kept.by_piece:
            self.pace.touch(piece)
        self.first.home.notices += told
        if self.screen is self.first:
            self.fill_home()
        return f"taken in: {plural(len(kept.events), 'change')}"

    # Settings and keys

    def keep_what_shows(self, begun_ns: int) -> None:
        """Read the settings, if they are not, and keep for the next start what shows of them."""
        from bench.screens.kit.keys import Keys
        from bench.screens.kit.list_screen import keymap

        session = self.session
        self.keys = Keys(session.settings)
        kept = KeptSettings(session.settings.theme, keymap(session.settings), self.keys.signs)
        keep_settings(session.index, session.home, kept, begun_ns)

    def go_by_settings(self) -> bool:
        """Take keys, theme and speech from the settings; return whether there is such a theme."""
        from bench.screens.bench.speaker import Speaker
        from bench.screens.kit.list_screen import keymap

        self.set_keymap(keymap(self.settings))
        self.per_of = {}
        self.speaker = Speaker(self.settings.spoken.command, self.settings.spoken.text)
        return self.take_theme(self.settings.theme or "dark")

    def read_settings_again(self) -> None:
        """Go by the settings as they are now, and say what is wrong with them."""
        home, before = self.first.home, self.session.settings_wrong
        begun = time.time_ns()
        if not self.session.read_settings_again():
            return
        home.notices = [notice for notice in home.notices if notice != before]
        home.notices += filter(None, [self.session.settings_wrong])
        self.keep_what_shows(begun)
        self.speaker.close()
        self.go_by_settings()

    def take_theme(self, name: str) -> bool:
        """Use a theme, if there is one of that name."""
        if name in THEMES:
            self.theme = theme_for(name, self.console.color_system).name
        return name in THEMES

    def knows_keys(self) -> bool:
        """Whether keys are what the maker has set, be it as they were kept."""
        return self.is_ready or self.kept is not None

    def hear_later(self, hear: Callable[[], object]) -> None:
        """Call this as soon as all is read: to hear a key or a touch that came too soon."""
        self.too_soon.append(hear)

    def named_keys(self, label: str) -> str:
        """The usual names of keys in a foot, 'UP DOWN', as the maker's own keys are named."""
        if self.is_ready:
            return self.keys.foot(label)
        return label if self.kept is None else self.kept.foot(label)

    # The journal and the list, whatever screen is up

    def heard(self) -> None:
        """A key was pressed: what was told has been read."""
        self.guard.heard()

    def watch_over(self, canvas: Canvas) -> Canvas:
        """Return a drawn screen with what is wrong with the journal written over it."""
        for report in self.guard.reports():
            self.first.home.notices.append(report)
            self.guard.tell(report)
        return self.guard.draw_over(canvas)

    def fill_home(self) -> None:
        """Make the list anew."""
        if self.is_ready:
            self.read_settings_again()
            self.first.fill()
            self.read_times()

    def read_times(self) -> None:
        """Read and fit the maker's times in another thread; the screen that is up is told."""
        self.times.read(self.pace)

    def _times_read(self, wrong: str) -> None:
        if wrong and wrong not in self.first.home.notices:
            self.first.home.notices.append(wrong)
        if isinstance(self.screen, BoardScreen):
            self.screen.times_read()
