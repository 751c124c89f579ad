"""The app as its screens know it: what they may ask, and how one leads to the next.

Only Textual is imported before the first paint; a screen is loaded when it is first gone to.
"""

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
from bench.screens.lists.home_screen import HomeScreen
from bench.screens.reading_times import ReadingTimes

if TYPE_CHECKING:
    from bench.documents.library import Library
    from bench.documents.settings import Settings
    from bench.journal.clock import Clock, Instant
    from bench.journal.store import Journal
    from bench.making.braid import Braid
    from bench.screens.bench.mode import Mode
    from bench.screens.bench.rests import Rests
    from bench.screens.bench.screen import BenchScreen
    from bench.screens.bench.speaker import Speaker
    from bench.screens.drawing.draft import Draft
    from bench.screens.kit.canvas import Canvas
    from bench.screens.kit.keys import Keys
    from bench.session import Session
    from bench.slips.maker import Maker
    from bench.timing.pace_service import LivePace


class CompanionApp(App[None]):
    """The app over one session, without its start and its end."""

    speaker: Speaker
    per_of: dict[str, Literal["cross", "row"]]
    keys: Keys

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.guard = Watch()
        self.first = HomeScreen(self)
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

    # From one screen to the next

    def take_up(self, piece: str) -> None:
        """Go on with a piece in the making."""
        from bench.journal.errors import JournalError
        from bench.making.braid import Braid

        assert self.journal is not None
        try:
            braid = Braid(self.journal, piece)
            plain = self.looking_on or self.kept_of(piece) or braid.state.elsewhere
            if plain:
                self.to_bench(braid)
            else:
                self.ask_how_it_came_out(braid)
        except KeyError:
            self.tell("How this piece began is lost from the journal; start it anew.")
        except JournalError as error:
            self.tell(str(error))

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

        return stand_taken(self.journal, self.settings.stand.stands, self.clock)

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
        """Go to the bench with a piece; where its stages are done, ask how it came out."""
        from bench.screens.bench.ending import Ending

        done = braid.state.open and braid.next_stage is None and braid.state.stage is None
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
            self.tell("Only a piece that was made at the bench has a page.")
        except JournalError as error:
            self.tell(str(error))

    def show_times(self) -> None:
        """Show the maker's times by pattern."""
        from bench.screens.lists.pace_screen import PaceScreen

        self.push_screen(PaceScreen(self))

    def draw_pattern(self, name: str, *, copy: bool) -> None:
        """Put a pattern on the drawing board; a shipped one is copied."""
        from bench.screens.drawing.draft import opened

        self._draw(lambda: opened(self.library, name, copy=copy))

    def go_on_with_sketch(self, name: str) -> None:
        """Put a sketch on the drawing board again, as it was left."""
        from bench.screens.drawing.draft import resumed

        self._draw(lambda: resumed(self.library, name))

    def begin_pattern(self) -> None:
        """Begin a new pattern on the drawing board."""
        from bench.screens.drawing.draft import begun

        self._draw(lambda: begun(self.library, "kongo-8"))

    def _draw(self, begin: Callable[[], Draft]) -> None:
        """Go to the drawing board, or say why what was to be drawn cannot be."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.drawing.screen import DrawingScreen

        try:
            self.push_screen(DrawingScreen(self, begin()))
        except (DocumentError, Fault) as error:
            self.tell(str(error))

    def throw_sketch_away(self, name: str) -> None:
        """Throw a sketch away; the pattern that it came from stays."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.drawing.draft import thrown_away

        try:
            thrown_away(self.library, name)
        except (DocumentError, Fault) as error:
            self.tell(str(error))
        self.fill_home()

    def show_commission(self, name: str) -> None:
        """Show the lots of a commission; Enter starts the next piece of one."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.lists.commission_screen import CommissionScreen

        try:
            self.push_screen(CommissionScreen(self, name))
        except (DocumentError, Fault) as error:
            self._mend_commission(name, str(error))

    def _mend_commission(self, name: str, wrong: str) -> None:
        """Show the order of a commission a pattern of which is gone, so that it can be changed."""
        from bench.commission.book import open_book
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.journal.errors import JournalError
        from bench.screens.lists.order_screen import OrderScreen

        try:
            if self.journal is None:
                raise Fault(wrong)
            book = open_book(self.library, self.journal, name, even_without_pattern=True)
            self.push_screen(OrderScreen(self, book, told=(f"! {wrong}",)))
        except (DocumentError, Fault, JournalError):
            self.first.home.said = wrong

    def begin_commission(self) -> None:
        """Show a commission that is new and not kept yet."""
        from bench.craft.text import Fault
        from bench.documents.errors import DocumentError
        from bench.screens.lists.order_ahead import new_order
        from bench.screens.lists.order_screen import OrderScreen

        try:
            self.push_screen(OrderScreen(self, new_order(self.library)))
        except (DocumentError, Fault) as error:
            self.first.home.said = str(error)

    def ask_to_give_up(self, piece: str, name: str) -> None:
        """Ask why a piece in the making is given up; the answer gives it up."""
        from bench.screens.lists.giving_up import ask_to_give_up

        self.push_screen(ask_to_give_up(self, piece, name))

    def say_on_list(self, said: str) -> None:
        """Say something over the list's keys."""
        self.first.home.said = said
        self.first.redraw()

    def leave_bench(self, said: str = "") -> None:
        """Go back to the list, with something to say; the piece keeps its place."""
        from bench.screens.bench.screen import BenchScreen

        if isinstance(self.screen, BenchScreen):
            # A screen that went as the bench came may have had the piece read before it was made.
            self.pace.touch(self.screen.braid.piece)
        self.pop_screen()
        if said:
            self.tell(said)

    def tell(self, said: str) -> None:
        """Say something on the screen that is up."""
        if isinstance(self.screen, BoardScreen):
            self.screen.told(said)

    # What the bench asks

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready."""
        from bench.screens.lists.expected_times import spent_and_ready

        if not self.settings.press.show_times:
            return "", ""
        return spent_and_ready(self.pace.figures, braid, self.clock.now())

    def maker(self) -> Maker:
        """The maker as the settings say, with what the journal has taught so far."""
        from bench.making.learning import maker_of

        return maker_of(self.settings, self.journal)[0]
