"""Away for long: the place in words, for a maker who comes back to the stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from bench.screens.bench.length_made import length_words
from bench.screens.bench.mode import Asked
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.framed_page import draw_title, framed
from bench.screens.kit.view import View


class Away(Asked):
    """No key has come for long. The next one counts as ever."""

    def press(self, key: str, character: str | None) -> None:
        """Act on a key as the mode under it does."""
        self.bench.close()
        self.bench.mode.press(key, character)

    def deeds(self) -> Sequence[Deed]:
        """The keys of what lies under it."""
        shown = {"next", "back", "place", "pause", "leave"}
        return [d if d.key in shown else replace(d, foot=None) for d in self.under.deeds()]

    def draw(self, view: View) -> Canvas:
        """Draw the place in words for a maker who was away."""
        braid = self.braid
        canvas = framed(view, "rule", double=False)
        step = braid.next_step
        assert step is not None
        where, which = words.row_words(braid.plan, step.cross)
        if canvas.height < 23:
            y = draw_title(canvas, 1, where, "call") + 2
            canvas.text(3, y - 2, which.upper(), "call")
        else:
            y = draw_title(canvas, draw_title(canvas, 2, where, "call") + 1, which, "call") + 1
        canvas.text(3, y, f"{step.call} NOT yet made", "bold")
        last = braid.last_step
        if last is not None:
            canvas.text(3, y + 1, f"uppermost on the braid should lie: {last.call}", "bold")
        length = length_words(braid, self.bench.growth, braid.made)
        canvas.text(3, y + 2, length, "", canvas.width - 6)
        canvas.text(
            3, y + 4 if length else y + 3, "If it lies so, go on; if not, find your place first."
        )
        main = f"{view.keys.name('next')}  counts the cross as ever"
        draw_main_key(canvas, view, main)
        return canvas
