"""How a piece ends: good, a second, or spoilt and given up; of the last two why."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from typing import Literal

from bench.craft.growth import sizes_of
from bench.craft.text import Fault
from bench.making.braid import Braid
from bench.making.reasons import AT_THE_END, reasons_of
from bench.screens.bench.braid_picture import draw_whole_braid
from bench.screens.bench.braid_rings import spots_of
from bench.screens.bench.mode import Asked, Bench
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import WIDE
from bench.screens.kit.framed_page import draw_page_keys
from bench.screens.kit.hanging_braid import HangingBraid, draw_hanging, hanging
from bench.screens.kit.header import headed
from bench.screens.kit.help_page import Lines
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.view import View

HELP: Lines = (
    ("1", "it is good: its commission has one more"),
    ("2", "it is finished but shows a fault: its commission still wants another one"),
    ("3", "it cannot be finished: its commission still wants another one"),
    ("", "2 and 3 ask why, for one key; all three can be taken back on the piece's page"),
    ("BACKSPACE", "the stage before it is not done yet"),
    ("ESC", "later: it stays on the list until you say"),
)
CHOICES = (
    ("1", "good", "it is as it should be"),
    ("2", "second", "it is finished, but shows a fault"),
    ("3", "given up", "it cannot be finished"),
)


def end_stage(bench: Bench) -> None:
    """End the present stage; after the last one it is asked how the piece came out."""
    if bench.braid.end_stage() is None:
        bench.open(Ending(bench))


class Ending(Asked):
    """All stages are done; the maker says how the piece came out, or leaves that for later."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.hangs = as_it_hangs(self.braid)

    def help_lines(self) -> Lines:
        """Its keys."""
        return HELP

    def press(self, key: str, character: str | None) -> None:
        """Take the answer; of one that is not good, ask why first."""
        if key == "1":
            self.braid.finish("good")
            self._leave()
        elif key == "2":
            self._ask_why("second", "What is wrong with it?")
        elif key == "3":
            self._ask_why("given up", "Why can it not be finished?")
        elif key == "backspace":
            self.braid.go_back_a_stage()
            self.bench.close()
        elif self.closes(key):
            self.bench.close()
            self.bench.companion.leave_bench()

    def _ask_why(self, how: Literal["second", "given up"], asks: str) -> None:
        reasons = reasons_of(self.braid.journal)
        self.bench.ask_reason(asks, reasons, partial(self._end, how))

    def _end(self, how: Literal["second", "given up"], reason: str | None) -> None:
        if how == "second":
            self.braid.finish("second", reason)
        else:
            self.braid.give_up(reason or AT_THE_END)
        self._leave()

    def _leave(self) -> None:
        """Go back to the list; a piece that was finished is measured first."""
        self.bench.close()
        companion = self.bench.companion
        companion.leave_bench()
        if self.braid.state.status in {"good", "second"}:
            companion.measure(self.braid)

    def draw(self, view: View) -> Canvas:
        """Draw the choice, beside the braid."""
        canvas = headed(self.braid.state, view)
        scale = 2 if view.width >= 116 and view.height >= 38 else 1
        big(canvas, 1, 3, "DONE", "good", scale)
        first = 5 + HEIGHT * scale
        canvas.text(1, first, "How did it come out?", "bold")
        for number, (key, name, meaning) in enumerate(CHOICES, 1):
            y = first + 2 * number
            canvas.text(1, y, key, "key")
            canvas.text(4, y, name, "bold")
            canvas.text(14, y, meaning, "", view.width - 15)
            canvas.zone(0, y, view.width, 1, key)
        if view.width >= WIDE:
            x, high = 51, view.height - 4
            if view.colours and self.hangs is not None:
                canvas.text(x, 2, "as it hangs by the plan")
                box = x, 3, view.width - x - 1, high - 1
                draw_hanging(canvas, *box, [self.hangs], 0, colours=True)
            else:
                draw_whole_braid(canvas, x - 2, 2, high, self.braid)
        later = "later: it stays on the list" if view.width >= WIDE else "later"
        draw_page_keys(canvas, view, ("BACKSPACE", "stage before"), ("ESC", later))
        return canvas


def as_it_hangs(braid: Braid) -> HangingBraid | None:
    """The whole braid to be painted; None where it is not as planned, or cannot be painted."""
    if spots_of(braid.state):
        return None
    with suppress(Fault):
        return hanging("", braid.plan, sizes_of(braid.pattern))
    return None
