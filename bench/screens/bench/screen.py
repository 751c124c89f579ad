"""The bench screen: one piece, one key a cross."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from typing import Literal

from bench.craft.growth import Growth
from bench.craft.plan import Plan
from bench.craft.words import elsewhere_words
from bench.journal.errors import JournalError
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.learning import maker_of
from bench.making.worked_pattern import growth_of
from bench.screens.bench.braiding import Braiding
from bench.screens.bench.companion import BenchCompanion
from bench.screens.bench.mode import Asked, Mode
from bench.screens.bench.stalls import BEAT_S, Stalls
from bench.screens.bench.taking_back import TakingBack
from bench.screens.bench.transitions import next_mode
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.header import draw_alarm, draw_banner
from bench.screens.kit.help_page import Lines
from bench.screens.kit.note_entry import note_entry
from bench.screens.kit.reason_entry import ReasonEntry
from bench.screens.kit.themes import shows_colours
from bench.screens.kit.view import View
from bench.slips.case import Case
from bench.slips.looks import Look
from bench.slips.offered_looks import offers

LOOKING_ON = "LOOKING ON: another braid-bench writes; close it there"
AHEAD_S = 0.03
"""So long after a cross the next one is drawn: the present one is painted by then."""
TIMES_S = 20.0
"""Times on the bench are in minutes; to work them out oftener than this tells nothing."""
CLOCK_S = 5.0
"""How often the clock is looked at."""


class BenchScreen(BoardScreen):
    """Follows one braid. Keys go to the mode that the bench is in; its page is what is shown."""

    companion: BenchCompanion
    mode: Mode

    def __init__(
        self,
        companion: BenchCompanion,
        braid: Braid,
        asks: Callable[[BenchScreen], Mode] | None = None,
    ) -> None:
        """Follow a braid. `asks`: what is asked as soon as the bench is up."""
        super().__init__(companion)
        self._asks = asks
        self.braid = braid
        self.done = self.said = ""
        self.paused_here = self.counted_here = self.told_unsaved = self.leaving = False
        self.slip_left: Case | None = None
        self.offers: dict[int, Look] = {}
        """The looks that are offered over the piece, by crosses made."""
        self.growth: Growth | None = None
        self._worked_out_for: Plan | None = None
        self._pressed = ("", 0.0)
        self.stalls = Stalls(time.monotonic())
        self._touched = 0.0
        self._rung_for: tuple[int, str] | None = None
        self._times = ("", "")
        self._times_for: tuple[int | None, str | None] | None = None
        self._times_read = 0.0
        self._spoken: tuple[int, str] | None = None

    def on_mount(self) -> None:
        """Begin where the piece stands."""
        last = self.braid.last_step
        if last is not None:
            self.done = f"counted: cross {last.cross}, {last.call}"
        if self.per == "row":
            self.done = f"a press counts a row here; {self.companion.keys.name('per')}: a cross"
        self._touched = self.now()
        self._at_work()
        self.said = self.said or self.companion.rests.take_light(self.companion.settings.rest)
        self.set_interval(CLOCK_S, self.look_at_clock)
        self.stalls.beat(time.monotonic())
        self.set_interval(BEAT_S, self._beat)
        self.mode = next_mode(self, None)
        self.mode.enter()
        if self._asks is not None:
            self.open(self._asks(self))
        self._settle()
        self._speak()

    def look_again(self) -> None:
        """Go over to what the braid has come to, and show it."""
        self._settle()
        super().look_again()

    def on_screen_resume(self) -> None:
        """Draw anew when another screen has gone."""
        self._times_for = None
        self.mode.come_back()
        super().on_screen_resume()

    def times_read(self) -> None:
        """Work the times out anew from what was read."""
        self._times_for = None
        super().times_read()

    @property
    def per(self) -> Literal["cross", "row"]:
        """What a press counts."""
        companion = self.companion
        return companion.per_of.get(self.braid.piece, companion.settings.press.per)

    @per.setter
    def per(self, what: Literal["cross", "row"]) -> None:
        self.companion.per_of[self.braid.piece] = what

    def now(self) -> float:
        """Seconds that only grow."""
        return self.companion.clock.now().mono

    def look_at_clock(self) -> None:
        """Let the mode know how long no key has come."""
        if not self.help and self.mode.pass_time(self.now() - self._touched):
            self.redraw()

    def _at_work(self) -> None:
        self.companion.rests.heard(self.companion.clock.now(), self.companion.settings.rest)

    def _beat(self) -> None:
        if self.stalls.beat(time.monotonic()):
            self.redraw()

    # Modes

    def open(self, mode: Mode) -> None:
        """Go over to a mode."""
        self.mode = mode
        mode.enter()

    def close(self) -> None:
        """Leave a mode that was asked for: back to where the braid stands."""
        mode = self.mode
        self.open(next_mode(self, mode.under if isinstance(mode, Asked) else mode))

    def _settle(self) -> None:
        """Go over to what the braid has come to, unless the present mode holds.

        Then read what is shown beside it.
        """
        if not self.braid.unsaved:
            self.told_unsaved = False
        mode = next_mode(self, self.mode)
        if mode is not self.mode:
            self.open(mode)
        self._read_times()
        self._work_out()

    # Keys

    def touch(self, action: str) -> None:
        """Take a touch as the key that it stands for."""
        keys = self.companion.settings.all_keys()
        self.take(keys[action][0] if action in keys else action, None)

    def interrupt(self) -> None:
        """Act on Ctrl+C: leave as by the key that leaves, and say so."""
        leave = self.companion.keys.name("leave")
        self.arrived = time.monotonic()
        if self.mode.asked or self.help:
            self.take("escape", None)
        else:
            self.touch("leave")
        self.said = self.said or f"Ctrl+C leaves, as {leave} does"
        self.redraw()

    def help_lines(self) -> Lines:
        """The keys of the mode that is up."""
        return self.mode.help_lines()

    def answers(self) -> Sequence[str]:
        """The keys that the mode reads as answers."""
        return self.mode.answers()

    def press(self, key: str, character: str | None) -> None:
        """Have the mode act on a key."""
        self._touched, self.said = self.now(), ""
        self._at_work()
        self.stalls.beat(time.monotonic())
        self.stalls.heard(self.arrived)
        self._settle()
        try:
            self.mode.press(key, character)
        except (NotNow, JournalError) as refusal:
            self.said = str(refusal)
        self._settle()
        self._speak()

    def too_soon(self, action: str) -> bool:
        """Whether this press came within the guard after the last of its kind; it is said.

        What counts is when a key came, not when it is worked off; one of which that is not known
        counts.
        """
        now, (before, at) = self.now() - (time.monotonic() - self.arrived), self._pressed
        guard_s = self.companion.settings.press.guard_s
        known = not self.stalls.may_have_waited(self.arrived)
        if known and action == before and now - at < guard_s:
            self.said = "second press ignored"
            return True
        self._pressed = action, now
        return False

    def write_note(self) -> None:
        """Ask for a line of the maker's own, and keep it with the piece."""
        self.app.push_screen(note_entry(self.companion, self.braid, self._note_told))

    def _note_told(self, said: str) -> None:
        self.said = said
        self.redraw()

    def ask_reason(
        self, asks: str, reasons: Sequence[str], keep: Callable[[str | None], None]
    ) -> None:
        """Ask for one of these reasons or one of the maker's own, and give it to `keep`."""

        def kept(reason: str | None) -> None:
            try:
                keep(reason)
            except (NotNow, JournalError) as refusal:
                self.said = str(refusal)
                self.redraw()

        self.app.push_screen(ReasonEntry(self.companion, asks, reasons, kept))

    # What is heard

    def ring(self, mark: tuple[int, str]) -> None:
        """Ring once for a mark, if the maker wants it."""
        if self._rung_for != mark:
            self._rung_for = mark
            if self.companion.settings.press.bell:
                self.app.bell()

    def _speak(self) -> None:
        """Have said aloud what has changed, or why a key did nothing, if the maker wants that."""
        speaker = self.companion.speaker
        if not speaker.command:
            return
        self.said = self.said or speaker.take_trouble()
        unsaved = f"not saved, {self.braid.unsaved}. " if self.braid.unsaved else ""
        now = self.braid.made, unsaved + self.mode.spoken()
        if self.said or now != self._spoken:
            speaker.say(self.said or now[1])
        self._spoken = now

    # What is seen

    def view(self, width: int, height: int) -> View:
        """What is shown beside the braid itself."""
        return View(
            width,
            height,
            self.companion.keys,
            *self._times,
            self.done,
            self.said,
            self._banner(),
            shows_colours(self.app.console),
            self.companion.settings.signs,
            per_row=self.per == "row",
        )

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the mode that is up; nothing else happens."""
        view = self.view(width, height)
        canvas = self.mode.page(view)
        draw_banner(canvas, view)
        counting = isinstance(self.mode, Braiding | TakingBack) and not self.companion.looking_on
        if self.stalls.are_told and counting:
            draw_alarm(canvas, ("COUNT MAY LAG", "MAY LAG"))
        return canvas

    def _banner(self) -> str:
        """What stands over the first line of every page of the bench, or nothing."""
        looking_on, state = self.companion.looking_on, self.braid.state
        if looking_on and not self.braid.unsaved:
            return LOOKING_ON
        place = self.companion.keys.name("place")
        if stood_still := self.stalls.sentence(place):
            return stood_still
        apart = elsewhere_words(state.made, (made for _, made in state.elsewhere))
        if not apart or not state.open:
            return ""
        does = "finds your place" if state.stage == "braid" else "goes on as it is here"
        return f"{apart.upper()}. {place} {does}"

    def crossed(self) -> None:
        """A cross was counted: what the next one will show is drawn while the hands are busy."""
        self.set_timer(AHEAD_S, self.draw_ahead)

    def draw_ahead(self) -> None:
        """Draw what one more cross will show, and paint it."""
        if isinstance(self.mode, Braiding) and not self.help:
            self.board.prepare(self.mode.draw_ahead(self.view(*self.size)))

    def _work_out(self) -> None:
        """Take the looks that are offered, and how the braid grows; worked out once a plan."""
        plan, settings = self.braid.plan, self.companion.settings
        if self._worked_out_for is not plan and self.braid.state.stage == "braid":
            maker = maker_of(settings, None)[0]
            self._worked_out_for = plan
            self.offers = offers(plan, maker.frequency, maker.costs)
            self.growth = growth_of(self.braid, settings)

    def _read_times(self) -> None:
        """Take hands-on time and when it is ready; worked out with a new row, not too often."""
        at = (self.braid.plan.row_at(self.braid.made + 1)[0], self.braid.state.stage)
        before, now = self._times_for, self.now()
        if before is None or (at != before and now - self._times_read > TIMES_S):
            self._times_for, self._times_read = at, now
            self._times = self.companion.times_of(self.braid)
