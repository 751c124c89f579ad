"""Modes that follow from where the braid stands: their keys are the actions of the bench."""

from __future__ import annotations

from bench.documents.key_names import sign_of
from bench.making.braid_written import NotNow
from bench.making.reasons import NOTHING_DONE
from bench.screens.bench.mode import Bench, Mode
from bench.screens.bench.point_of_braiding import PointOfBraiding
from bench.screens.bench.rest_offered import RestOffered
from bench.screens.kit import words
from bench.screens.kit.deeds import Deed, do

GUARDED = {"next", "back", "mark", "pause", "leave"}
"""What a key that bounces, or is held, would do twice; only its first press counts."""
NOTE = Deed("note", "keep a line of your own with the piece", "")
LEAVE = Deed("leave", "to the list; all is kept as it is", "")
LEAVE_WEIGHT = Deed("leave", "stick in, weight off; once more: to the list", "")
PAUSE = Deed("pause", "stick in, weight off; the same key goes on", "")
GO_ON = Deed("pause", "go on", "go on")
POINT = Deed("point", "the point of braiding lies too high or too low: the answer in grams", "")
"""Keys that do the same in every mode in which they stand."""
LOOKING_ON = "Looking on only: another window writes to this journal."


class Standing(Mode):
    """A mode that the braid has come to."""

    going_on: tuple[str, ...] = ("pause",)
    """The actions that end a pause."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.stage = bench.braid.state.stage

    def holds(self) -> bool:
        """Whether the braid, which still wants a mode of this kind, is where this one began."""
        return self.stage == self.braid.state.stage

    def press(self, key: str, character: str | None) -> None:
        """Act on an action's key, or on another one."""
        bench, state = self.bench, self.braid.state
        action = bench.companion.keys.action(key)
        if action in GUARDED and bench.too_soon(action):
            return
        if action == "leave" or (action is None and key == "escape"):
            self._leave_the_stand()
        elif bench.companion.looking_on:
            bench.said = LOOKING_ON if action else ""
        elif action is None:
            self.other_key(key)
        elif action == "note":
            bench.write_note()
        elif action == "pause" or (state.paused and action in self.going_on):
            self._pause()
        elif state.paused:
            raise NotNow(f"The piece is paused; {bench.companion.keys.name('pause')} goes on.")
        elif action == "point" and state.stage in {"set_up", "braid"}:
            bench.open(PointOfBraiding(bench))
        elif action == "place" and state.stage != "braid" and state.elsewhere and state.open:
            self.braid.set_place(state.made)
            bench.said = "from here on it goes on as it is here"
        else:
            self.act(action)

    def act(self, action: str) -> None:
        """Do what an action's key asks for here."""
        do(self.deeds(), action)

    def other_key(self, key: str) -> None:
        """Act on a key that is no action's: say that it does nothing."""
        lists = self.bench.companion.keys.name("help")
        self.bench.said = f"{sign_of(key)} does nothing here; {lists} lists the keys"

    def spoken(self) -> str:
        """The stage that the piece is in."""
        stage = self.braid.state.stage
        return f"stage: {words.STAGE_WORDS[stage]}" if stage else "all stages are done"

    def weight_hangs(self) -> bool:
        """Whether a counterweight hangs at a braid that would be left alone with it."""
        return False

    def offer_rest(self, then: str) -> None:
        """Between two parts of the work: speak of light, or offer a rest; `then`: what is next."""
        bench, wanted = self.bench, self.bench.companion.settings.rest
        rests = bench.companion.rests
        bench.said = bench.said or rests.take_light(wanted)
        if rests.is_due(wanted):
            bench.open(RestOffered(bench, then))

    def _pause(self) -> None:
        self.bench.leaving = False
        if self.braid.state.paused:
            self.braid.resume()
        else:
            self.braid.pause()
            self.bench.paused_here = True

    def _leave_the_stand(self) -> None:
        """Leave; where a weight hangs only once stick and weight were said, by the same key."""
        state = self.braid.state
        alone = state.paused or state.blank or not state.open or self.bench.companion.looking_on
        if alone or not self.weight_hangs():
            self.leave()
            return
        self._pause()
        self.bench.leaving = True

    def leave(self) -> None:
        """Leave the bench; a piece at which nothing was done goes off the list again."""
        state, said = self.braid.state, ""
        if state.blank and state.open and not self.bench.companion.looking_on:
            self.braid.give_up(NOTHING_DONE)
            said = f"{state.name} was not begun: nothing was counted of it yet."
        self.bench.companion.leave_bench(said)
