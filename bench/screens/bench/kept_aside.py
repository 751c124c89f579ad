"""What could not be saved last time lies in a file: taken in before anything else is counted."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.words import plural
from bench.screens.bench.mode import Bench, Mode
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.deeds import Deed, do
from bench.screens.kit.framed_page import draw_title, framed
from bench.screens.kit.page import paragraph
from bench.screens.kit.view import View

TEXT = "The count that is kept here is the one of before. Take these in, then go on."


class KeptAside(Mode):
    """Stays until a key has taken them in; `under` is what the bench is in the middle of."""

    def __init__(self, bench: Bench, under: Mode) -> None:
        super().__init__(bench)
        self.under = under

    def deeds(self) -> Sequence[Deed]:
        """Take them in, or leave."""
        leave = "to the list; nothing is taken in, and nothing is lost"
        return (
            Deed("mark", "takes in what could not be saved", "take them in", self._take_in),
            Deed("leave", leave, "", self.leave),
        )

    def _take_in(self) -> None:
        self.bench.done = self.bench.companion.take_in_kept()

    def leave(self) -> None:
        """Leave the bench for the list."""
        self.bench.companion.leave_bench()

    def press(self, key: str, character: str | None) -> None:
        """Take them in, or leave; any other key says which one it is."""
        bench = self.bench
        action = bench.companion.keys.action(key)
        if action is None and key == "escape":
            action = "leave"
        if not do(self.deeds(), action or ""):
            bench.said = f"{bench.companion.keys.name('mark')} takes them in first"

    def spoken(self) -> str:
        """What could not be saved."""
        return f"not saved last time: {self._changes}. Take them in first"

    @property
    def _changes(self) -> str:
        return plural(self.bench.companion.kept_of(self.braid.piece), "change")

    def draw(self, view: View) -> Canvas:
        """Draw how much was not saved, large, and the key."""
        canvas = framed(view, "back", double=True)
        room = canvas.width - 6
        what = f"{self._changes} of this piece could not be saved when the program ended last time."
        lines = [*wrap(what, room), *wrap(TEXT, room)]
        y = draw_title(canvas, 2, "NOT SAVED LAST TIME", "back", below=len(lines) + 2)
        y = paragraph(canvas, y, what, "bold", None, 3)
        paragraph(canvas, y + 1, TEXT, "", None, 3)
        take = f"{view.keys.name('mark')}  take them in"
        key = draw_main_key(canvas, view, take)
        canvas.text(3, key - 1, view.said, "warn", room)
        return canvas
