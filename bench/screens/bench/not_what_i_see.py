"""Not what I see: the talk about a slip, and where it leads."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bench.screens.bench.finding_place import FindingPlace
from bench.screens.bench.mode import Asked, Bench
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.kit.view import View
from bench.screens.slips.talk import SlipTalk
from bench.screens.slips.talk_view import draw_slip

HELP: Lines = (
    ("its sign", "answers, or chooses that line: a number, or a bead's letter"),
    ("UP DOWN", "go from line to line; ENTER takes the one that is marked"),
    ("ENTER", "with none marked: I cannot tell; the next look is asked for"),
    ("TAB", "between the look and what can be done"),
    ("LEFT RIGHT", "what can be done if it was another suspect"),
    ("R", "read off all beads left on that strand"),
    ("BACKSPACE", "one step back: a letter, a page, the last answer"),
    ("ESC", "to braiding; what was told counts if you come back within a row"),
)


class NotWhatISee(Asked):
    """The talk; `take_back` is what the bench does where it leads to taking a cross back."""

    def __init__(self, bench: Bench, take_back: Callable[[], None]) -> None:
        super().__init__(bench)
        self.take_back = take_back
        self.talk = SlipTalk(self.braid, bench.companion.maker(), bench.now, bench.slip_left)

    def answers(self) -> Sequence[str]:
        """The letters that the talk reads."""
        return (*self.talk.options, *self.talk.likeness.letters, "m", "r")

    def help_lines(self) -> Lines:
        """Its keys."""
        return HELP

    def press(self, key: str, character: str | None) -> None:
        """Act on a key; go where the talk leads."""
        bench, talk = self.bench, self.talk
        action = bench.companion.keys.action(key)
        if bench.too_soon(action or key):
            if talk.meant_once(key):
                return
            bench.said = ""
        leads = talk.press(key, character)
        if not leads:
            return
        bench.slip_left = talk.case.kept if leads == "leave" else None
        bench.close()
        if leads == "place":
            bench.open(FindingPlace(bench))
        elif leads == "back":
            self.take_back()
        elif leads == "done":
            bench.counted_here = True
        bench.done = talk.done or bench.done

    def draw(self, view: View) -> Canvas:
        """Draw the page that the talk is at."""
        return draw_slip(self.talk, view)
