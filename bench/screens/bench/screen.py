"""The bench screen: one piece, one key a cross."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import replace

from bench.craft.plan import Plan, PlannedCross
from bench.documents.key_names import DIGITS
from bench.journal.errors import JournalError
from bench.making.braid import Braid, NotNow
from bench.making.learning import maker_of
from bench.screens.bench.braiding_view import draw_bench
from bench.screens.bench.companion import BenchCompanion
from bench.screens.bench.draw import draw_moment
from bench.screens.bench.help import bench_help, typed_at
from bench.screens.bench.place_view import PlaceFinder
from bench.screens.bench.point import PointLook
from bench.screens.bench.spoken_line import spoken_line
from bench.screens.bench.stage_view import Ending, asked_before_the_end
from bench.screens.kit import words
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.kit.text_entry import TextEntry
from bench.screens.kit.view import View
from bench.screens.preparing.preparing import Preparing
from bench.screens.slips.talk import SlipTalk
from bench.slips.looks import Look
from bench.slips.offered_looks import offers

MAX_NOTE = 200
GUARDED = {"next", "back", "mark", "pause"}
"""What a key that bounces, or is held, would do twice; only its first press counts."""
AHEAD_S = 0.03
"""So long after a cross the next one is drawn: the present one is painted by then."""
TIMES_S = 20.0
"""Times on the bench are in minutes; to work them out oftener than this tells nothing."""


class BenchScreen(BoardScreen):
    """Follows one braid. Every key is read here; what is shown is drawn anew from the braid."""

    companion: BenchCompanion

    def __init__(self, companion: BenchCompanion, braid: Braid) -> None:
        super().__init__(companion)
        self.braid = braid
        self.done = self.said = ""
        self.finder: PlaceFinder | None = None
        self.ending: Ending | None = None
        self.talk: SlipTalk | None = None
        self._left: SlipTalk | None = None
        self._offers: tuple[Plan, dict[int, Look]] | None = None
        self.point: PointLook | None = None
        self.preparing = Preparing(braid)
        self.coming_back = self.back_again = False
        self._asked_for: str | None = None
        self.away = False
        self.told_trouble = False
        self._pressed = ("", 0.0)
        self._touched = 0.0
        self._bell_for: tuple[int, str] | None = None
        self._times_at: tuple[int | None, str | None] | None = None
        self._times_read = 0.0
        self._times = ("", "")
        self._ahead_for: tuple[int, Plan, View, object] | None = None
        self.drawn_ahead = Canvas(0, 0)
        self._spoken: tuple[int, str] | None = None

    def on_mount(self) -> None:
        """Begin where the piece stands."""
        self.coming_back, self.back_again = self.braid.state.paused, self.braid.state.back
        last = self.braid.last_step
        if last is not None:
            self.done = f"counted: cross {last.cross}, {last.call}"
        self._touched = self._now()
        self.set_interval(5.0, self._look_at_clock)
        self._speak()

    def on_screen_resume(self) -> None:
        """Draw anew when another screen has gone."""
        self._times_at = None
        self.preparing.read_again(self.companion.settings)
        super().on_screen_resume()

    def times_read(self) -> None:
        """Work the times out anew from what was read."""
        self._times_at = None
        super().times_read()

    def _now(self) -> float:
        return (
            self.companion.clock.now().mono
            if self.companion.clock is not None
            else time.monotonic()
        )

    def _look_at_clock(self) -> None:
        idle = self._now() - self._touched
        if self.braid.state.stage == "dry":
            self.redraw()
        elif not self.away and idle > self.companion.settings.press.away_s and self._plain_bench():
            self.away = True
            self.redraw()

    def _plain_bench(self) -> bool:
        state = self.braid.state
        return (
            state.stage == "braid"
            and not state.paused
            and not state.back
            and self.braid.next_step is not None
            and self.braid.mark_due is None
            and not (self.finder or self.help or self.talk or self.point)
        )

    # Keys

    def touch(self, action: str) -> None:
        """Take a touch as the key that it stands for."""
        keys = self.companion.settings.all_keys()
        self.take(keys[action][0] if action in keys else action, None)

    def help_lines(self) -> Lines:
        """The keys of the moment that is up."""
        return bench_help(self)

    def answers(self) -> Sequence[str]:
        """The letters that a talk reads."""
        return typed_at(self)

    def press(self, key: str, character: str | None) -> None:
        """Act on a key."""
        calm = not (self.away or self.braid.state.paused)
        self.away, self._touched, self.said = False, self._now(), ""
        try:
            if (self.talk or self.point or self.finder or self.ending) and self._told_now():
                pass
            elif self.talk is not None:
                self._talk(self.talk, key, character)
            elif self.point is not None:
                if self.point.press(key):
                    self.point = None
            elif self.finder is not None:
                self._find(key)
            elif self.ending is not None:
                self._end(key)
            else:
                action = self.companion.keys.action(key)
                if action is not None:
                    self._act(action)
                elif key in DIGITS and self.braid.next_step is None:
                    self._strike(int(key))
                elif calm and self.preparing.in_hand(self.companion.settings):
                    self._prepare("", key)
        except (NotNow, JournalError) as refusal:
            self.said = str(refusal)
        self._speak()

    def _speak(self) -> None:
        """Have said aloud what has changed, or why a key did nothing, if the maker wants that."""
        speaker = self.companion.speaker
        if not speaker.command:
            return
        self.said = self.said or speaker.take_trouble()
        now = (self.braid.made, spoken_line(self.braid))
        if self.said or now != self._spoken:
            speaker.say(self.said or now[1])
        self._spoken = now

    def _act(self, action: str) -> None:
        if action in GUARDED and self._too_soon(action):
            return
        if action == "leave":
            self.companion.leave_bench("" if self.companion.looking_on else self.preparing.leave())
            return
        if self._told_now():
            return
        if self.companion.looking_on:
            self.said = "Looking on only: another window writes to this journal."
            return
        if action == "note":
            asks = "what do you want to keep?"
            self.app.push_screen(TextEntry(self.companion, "NOTE", asks, MAX_NOTE, self._keep_note))
            return
        state = self.braid.state
        if action == "pause" or (state.paused and state.stage == "load" and action == "next"):
            (self.braid.resume if state.paused else self.braid.pause)()
            self.coming_back = False
            return
        if state.paused:
            self.said = f"The piece is paused; {self.companion.keys.name('pause')} goes on."
            return
        if action == "point" and state.stage in {"set_up", "braid"}:
            self.point = PointLook(self.braid, self.companion.settings)
        elif self.preparing.in_hand(self.companion.settings):
            self._prepare(action, "")
        elif state.stage != "braid":
            self._act_in_stage(action)
        else:
            self._act_in_braid(action)

    def _told_now(self) -> bool:
        """Whether this key only answers what is told large: that something is not saved."""
        if not self.braid.unsaved or self.told_trouble:
            return False
        self.told_trouble = True
        self.braid.journal_retry()
        return True

    def _prepare(self, action: str, key: str) -> None:
        outcome = self.preparing.press(action, key)
        if outcome == "next set":
            self.companion.load_next_set(self.braid)
        elif outcome == "weigh":
            self.companion.weigh(self.braid)
        elif outcome == "on":
            self.braid.end_stage()
        elif outcome == "before":
            self._act_in_stage("back")

    def _too_soon(self, action: str) -> bool:
        """Whether this press came within the guard after the last of its kind; it is said."""
        now, (before, at) = self._now(), self._pressed
        if action == before and now - at < self.companion.settings.press.guard_s:
            self.said = "second press ignored"
            return True
        self._pressed = action, now
        return False

    def _act_in_braid(self, action: str) -> None:
        if action in {"next", "back", "place"}:
            self.back_again = False
        if action == "next":
            self._cross()
        elif action == "back":
            step = self.braid.last_step
            self.braid.take_back()
            assert step is not None
            self.done = f"taken back: cross {step.cross}, {step.call}"
        elif action == "place":
            self.finder = PlaceFinder(self.braid)
        elif action == "mark":
            if self.braid.mark_due is not None:
                done = self.braid.mark_done()
                self.done = f"done: {done.do}"
            elif self.braid.next_step is None:
                self._next_stage()
            else:
                self.said = "No mark is due."
        elif action == "slip":
            self.talk = SlipTalk(self.braid, self.companion.maker(), self._now, self._left)

    def _cross(self) -> None:
        first = self.braid.made + 1
        if self.braid.next_step is None and self.braid.mark_due is None:
            self.said = f"All crosses are made; {self.companion.keys.name('mark')} goes on."
            return
        made = self.braid.cross(per=self.companion.settings.press.per)
        self.done = self._counted(first, self.braid.plan.step(made))
        self.set_timer(AHEAD_S, self.look_ahead)

    def _counted(self, first: int, last: PlannedCross) -> str:
        said = f"not saved ({self.braid.unsaved})" if self.braid.unsaved else "counted"
        if first < last.cross:
            return f"{said}: crosses {first} to {last.cross}"
        beads = words.beads_line(last) if last.row is not None else "plain"
        return f"{said}: {last.call}   {beads}"

    def _act_in_stage(self, action: str) -> None:
        waits = self.braid.state.stage is None and self.braid.next_stage
        if waits and action in {"next", "mark"}:
            self.braid.go_to_stage(waits)
        elif action == "mark":
            self._next_stage()
        elif action == "back":
            stages, stage = self.braid.stages, self.braid.state.stage
            place = stages.index(stage) if stage in stages else len(stages)
            if place > 0:
                self.braid.go_to_stage(stages[place - 1])
        elif action == "next":
            self.said = f"{self.companion.keys.name('mark')} ends this stage."
        elif action == "slip":
            self.said = "This key is for the time while you braid."

    def _next_stage(self) -> None:
        stage, key = self.braid.state.stage, self.companion.keys.name("mark")
        asked = asked_before_the_end(self.braid, self.companion.clock, key)
        if asked and self._asked_for != stage:
            self._asked_for, self.said = stage, asked
        else:
            self._asked_for = None
            self.ending = Ending(self.braid) if self.braid.end_stage() is None else None

    def _strike(self, number: int) -> None:
        """Strike a bead that was sewn in off the list, by its number there."""
        left = self.braid.state.sew_ins
        if self.braid.state.open and not self.companion.looking_on and 1 <= number <= len(left):
            strand, cross, bead = left[number - 1]
            self.braid.sewn_in(strand, cross)
            self.said = f"sewn in: one {bead}, at cross {cross}"

    def _talk(self, talk: SlipTalk, key: str, character: str | None) -> None:
        if talk.meant_once(key) and self._too_soon(self.companion.keys.action(key) or key):
            return
        leads = talk.press(key, character)
        if not leads:
            return
        told = talk if talk.told else talk.left
        self.talk, self._left = None, told if leads == "leave" else None
        if leads == "place":
            self.finder = PlaceFinder(self.braid)
        elif leads == "back":
            self._act_in_braid("back")
        self.done = talk.done or self.done

    def _find(self, key: str) -> None:
        assert self.finder is not None
        if key == "escape":
            self.finder = None
        elif (count := self.finder.press(key)) is not None:
            off = count - self.braid.made
            self.braid.set_place(count)
            self.finder = self._left = None
            self.done = "the place is as counted" if off == 0 else f"count set to cross {count}"

    def _keep_note(self, text: str) -> None:
        try:
            self.braid.note(text)
            self.done = "note kept"
        except (NotNow, JournalError) as refusal:
            self.said = str(refusal)
        self.redraw()

    def _end(self, key: str) -> None:
        assert self.ending is not None
        if self.ending.press(key):
            self.ending = None
            self.companion.leave_bench()
            if self.braid.state.status in {"good", "second"}:
                self.companion.measure(self.braid)

    # Drawing

    def view(self, width: int, height: int) -> View:
        """What is shown beside the braid itself."""
        hands_on, ready = self._read_times()
        banner = ""
        if not self.braid.unsaved:
            self.told_trouble = False
            if self.companion.looking_on:
                banner = f"LOOKING ON  {self.companion.looking_on}"
        return View(
            width, height, self.companion.keys, hands_on, ready,
            self.done, self.said, banner,
        )  # fmt: skip

    @property
    def offers(self) -> dict[int, Look]:
        """The looks that are offered over the piece, by crosses made."""
        plan = self.braid.plan
        if self._offers is None or self._offers[0] is not plan:
            maker = maker_of(self.companion.settings, None)[0]
            self._offers = plan, offers(plan, maker.frequency, maker.costs)
        return self._offers[1]

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the moment that the braid is in."""
        view = self.view(width, height)
        ahead = self._ahead_for == (self.braid.made, self.braid.plan, view, self.braid.state.later)
        if ahead and not self.away and self._plain_bench():
            return self.drawn_ahead
        return draw_moment(self, view)

    def look_ahead(self) -> None:
        """Draw what one more cross will show, while the hands are busy."""
        made, plan = self.braid.made + 1, self.braid.plan
        if self._plain_bench() and not self.away and made < plan.crosses:
            view = self.view(*self.size)
            view = replace(view, done=self._counted(made, plan.step(made)), said="")
            canvas = draw_bench(self.braid, view, made, self.offers)
            self.board.prepare(canvas)
            self._ahead_for = (made, plan, view, self.braid.state.later)
            self.drawn_ahead = canvas

    def ring(self, mark: tuple[int, str]) -> None:
        """Ring once for a mark, if the maker wants it."""
        if self._bell_for != mark:
            self._bell_for = mark
            if self.companion.settings.press.bell:
                self.app.bell()

    def _read_times(self) -> tuple[str, str]:
        """Hands-on time and when it is ready; worked out with a new row, not too often."""
        at = (self.braid.plan.row_at(self.braid.made + 1)[0], self.braid.state.stage)
        before = self._times_at
        now = self._now()
        if before is None or (at != before and now - self._times_read > TIMES_S):
            self._times_at, self._times_read = at, now
            self._times = self.companion.times_of(self.braid)
        return self._times
