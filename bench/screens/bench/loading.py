"""Loading: the keys of the bench lead through the threads, one end after the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from bench.screens.bench.mode import Bench
from bench.screens.bench.standing import GO_ON, LEAVE, NOTE, Standing
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.view import View
from bench.screens.preparing.loader import Loader, LoadingPage
from bench.screens.preparing.loading_view import draw_loading

PAUSED = Deed("pause", "put it down: what is in hand and what comes next stays on the screen", "")
UNSEEN_PAUSE = replace(PAUSED, foot=None)
GROUP_OFF = Deed("back", "the last group comes off the thread again", "last group off")
AWAY = (PAUSED, NOTE, LEAVE)
BEFORE_ALL_IS_ON = (
    GROUP_OFF,
    Deed("mark", "go on to the stand although not all is loaded (twice)", "go on to the stand"),
    *AWAY,
)
SETS = "how many sets you load one after the other; or type the number"
WEIGH = "weigh some beads first: what to buy and to hang is reckoned with yours"
NOT_RIGHT = "it is not: how to find the group that is wrong, and to mend it"
TAKE_OFF = "you take groups off that end: the screen leads you in putting them on again"
TUBE_IS_EMPTY = Deed("TAB", "the tube that is named is empty: the next one is", "tube is empty")
THROWN_OUT = Deed(
    "X", "a bead is thrown out or broke: its tube gives one more with this group", "bead out"
)
DEEDS: Mapping[LoadingPage, Sequence[Deed]] = {
    "begin": (
        Deed("next", "begin with the first thread"),
        Deed("LEFT RIGHT", SETS),
        Deed("TAB", WEIGH),
        Deed("mark", "nothing is to be loaded: go on to the stand (twice)", "go on to the stand"),
        *(UNSEEN_PAUSE, NOTE, LEAVE),
    ),
    "string": (
        Deed("next", "these beads are on: the next group comes"),
        *BEFORE_ALL_IS_ON,
    ),
    "prove": (
        Deed("next", "it is as the screen says: the thread is proved"),
        Deed("slip", NOT_RIGHT, "not right"),
        *BEFORE_ALL_IS_ON,
    ),
    "mend": (
        Deed("1 2", TAKE_OFF),
        Deed("next", "you have put it right by hand: the thread is proved"),
        Deed("back", "look again: back to the proving", "look again"),
        *(PAUSED, replace(NOTE, foot=None), LEAVE),
    ),
    "done": (
        GROUP_OFF,
        NOTE,
        Deed("leave", "back to the list; the set waits there under its tag", ""),
    ),
}
"""What the keys do on each page; the loader acts on them."""


class Loading(Standing):
    """The threads are being loaded; the page of a pause says what is in hand."""

    going_on = ("pause", "next")

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        companion = bench.companion
        self.loader = Loader.of(bench.braid, companion.settings, companion.library)

    def come_back(self) -> None:
        """Work the piece up anew, as beads may have been weighed."""
        self.loader.read_again(self.bench.companion.settings)

    def deeds(self) -> Sequence[Deed]:
        """The keys of the page; of a pause, how to go on."""
        page = self.loader.page
        if self.braid.state.paused:
            return (GO_ON, replace(NOTE, foot=None), LEAVE)
        if page == "string" and self.loader.tube_words:
            return (TUBE_IS_EMPTY, THROWN_OUT, *DEEDS[page])
        if page != "done":
            return DEEDS[page]
        this_one = "set this one up now"
        return (
            Deed("next", "load the batch's next set; after the last one, set it up"),
            Deed("mark", this_one, this_one if self.loader.more_to_come else None),
            *DEEDS[page],
        )

    def act(self, action: str) -> None:
        """Act on an action's key."""
        self._press(action, "")

    def other_key(self, key: str) -> None:
        """Act on a digit, an arrow or Tab."""
        if not self.braid.state.paused:
            self._press("", key)

    def _press(self, action: str, key: str) -> None:
        companion, loader = self.bench.companion, self.loader
        proving = loader.page in {"prove", "mend"}
        outcome = loader.press(action, key)
        if outcome == "next set":
            why = companion.load_next_set(self.braid)
            loader.said = why and f"No further set: {why}."
        elif outcome == "weigh":
            companion.weigh(self.braid)
        elif outcome == "on":
            self.braid.end_stage()
        elif proving and loader.page == "string" and (now := loader.loading.next) is not None:
            place = loader.place_of(loader.loading.at[1])
            self.offer_rest(f"The thread is done. Next, for {place}: {loader.words_of(now)}")

    def leave(self) -> None:
        """Leave the bench; a set that is loaded is laid aside, to wait for the stand."""
        if self.loader.page == "done" and not self.bench.companion.looking_on:
            self.braid.lay_aside()
        super().leave()

    def draw(self, view: View) -> Canvas:
        """Draw the page that loading is at."""
        return draw_loading(self.loader, view)
