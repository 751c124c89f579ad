"""A rest is offered between two rows, or two threads; going on is one press, as ever."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.cautions import RESTING, RESTS
from bench.craft.words import duration
from bench.screens.bench.mode import Asked, Bench
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.deeds import HELP_KEY, Deed, FootKey
from bench.screens.kit.framed_page import MARGIN, draw_title, framed
from bench.screens.kit.page import numbered, paragraph
from bench.screens.kit.view import View


class RestOffered(Asked):
    """So long at work: a rest would be good now. The next key counts as ever."""

    def __init__(self, bench: Bench, then: str) -> None:
        """Offer it; `then` says what is done, and what comes next."""
        super().__init__(bench)
        self.then = then
        self.worked_s = bench.companion.rests.worked_s

    def enter(self) -> None:
        """Note that it was offered."""
        self.bench.companion.rests.offer()

    def press(self, key: str, character: str | None) -> None:
        """Act on a key as the mode under it does."""
        self.bench.close()
        self.bench.mode.press(key, character)

    def deeds(self) -> Sequence[Deed]:
        """The keys of what lies under it."""
        return self.under.deeds()

    def foot(self) -> tuple[FootKey, ...]:
        """A rest, or none."""
        loading = self.braid.state.stage == "load"
        done = "these are on" if loading else "the next cross is laid down"
        none = FootKey("next", f"no rest: {done}")
        return (FootKey("pause"), none, HELP_KEY, FootKey("leave"))

    def spoken(self) -> str:
        """That a rest would be good."""
        return f"{duration(self.worked_s)} at work: a rest? {self.then}"

    def draw(self, view: View) -> Canvas:
        """Draw what does eyes, hands and shoulders good, and the cross that comes next."""
        canvas = framed(view, "rule", double=False)
        canvas.text(MARGIN - 1, 0, f" {duration(self.worked_s)} at work ", "bold")
        room = canvas.width - 2 * MARGIN
        lines = sum(len(wrap(step, room - 3)) for step in RESTS) + len(wrap(RESTING, room)) + 4
        y = draw_title(canvas, 2, "A REST?", "call", below=lines)
        y = numbered(canvas, y, RESTS, None, MARGIN, "bold")
        y = paragraph(canvas, y, RESTING, "", None, MARGIN)
        paragraph(canvas, y + 1, self.then, "call", None, MARGIN)
        loading = self.braid.state.stage == "load"
        main = f"{view.keys.name('pause')}  a rest" + ("" if loading else ": stick in, weight off")
        key = draw_main_key(canvas, view, main)
        canvas.text(MARGIN, key - 1, view.said or view.done, "warn" if view.said else "", room)
        return canvas
