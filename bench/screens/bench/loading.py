"""Loading: the keys of the bench lead through the threads, one end after the other."""

from __future__ import annotations

from collections.abc import Mapping

from bench.screens.bench.mode import Bench
from bench.screens.bench.standing import LEAVE_HELP, NOTE_HELP, Standing
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.kit.view import View
from bench.screens.preparing.loader import Loader, Page
from bench.screens.preparing.loading_view import draw_loading

PAUSE = ("pause", "put it down: what is in hand and what comes next stays on the screen")
GROUP_OFF = ("back", "the last group comes off the thread again")
ANYWHERE: Lines = (PAUSE, NOTE_HELP, LEAVE_HELP)
BEFORE_ALL_IS_ON: Lines = (
    GROUP_OFF,
    ("mark", "go on to the stand although not all is loaded (twice)"),
    *ANYWHERE,
)
HELP: Mapping[Page, Lines] = {
    "begin": (
        ("next", "begin with the first thread"),
        ("LEFT RIGHT", "how many sets you load one after the other; or type the number"),
        ("TAB", "weigh some beads first: what to buy and to hang is reckoned with yours"),
        ("mark", "nothing is to be loaded: go on to the stand (twice)"),
        *ANYWHERE,
    ),
    "string": (
        ("next", "these beads are on: the next group comes"),
        ("TAB", "the tube that is named is empty: the next one is"),
        *BEFORE_ALL_IS_ON,
    ),
    "prove": (
        ("next", "it is as the screen says: the thread is proved"),
        ("slip", "it is not: how to find the group that is wrong, and to mend it"),
        *BEFORE_ALL_IS_ON,
    ),
    "mend": (
        ("1 2", "you take groups off that end: the screen leads you in putting them on again"),
        ("next", "you have put it right by hand: the thread is proved"),
        ("back", "look again: back to the proving"),
        *ANYWHERE,
    ),
    "done": (
        ("next", "load the batch's next set; after the last one, set it up"),
        ("mark", "set this one up now"),
        GROUP_OFF,
        NOTE_HELP,
        ("leave", "back to the list; the set waits there under its tag"),
    ),
}


class Loading(Standing):
    """The threads are being loaded; the page of a pause says what is in hand."""

    going_on = ("pause", "next")

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.loader = Loader.of(bench.braid, bench.companion.settings)

    def come_back(self) -> None:
        """Work the piece up anew, as beads may have been weighed."""
        self.loader.read_again(self.bench.companion.settings)

    def help_lines(self) -> Lines:
        """The keys of the page; of a pause, how to go on."""
        if self.braid.state.paused:
            return (("pause", "go on"), NOTE_HELP, LEAVE_HELP)
        return HELP[self.loader.page]

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
            companion.load_next_set(self.braid)
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
