"""The journal cannot be written: told large, once, over whatever is up."""

from __future__ import annotations

from collections.abc import Sequence

from bench.screens.bench.mode import Bench, Mode
from bench.screens.bench.standing import GUARDED
from bench.screens.kit.action_keys import draw_main_key
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.deeds import FootKey
from bench.screens.kit.framed_page import draw_title, framed
from bench.screens.kit.help_page import Lines
from bench.screens.kit.view import View

TEXTS = (
    "You can go on braiding. What you count is kept here and written as soon as writing works;"
    " each key tries again.",
    "Do not switch the machine off before this has gone. Free some room on the disk, or give the"
    " folder back its write permission.",
)


class NotSaved(Mode):
    """Stays until a key has answered it; `under` is what the bench is in the middle of."""

    def __init__(self, bench: Bench, under: Mode) -> None:
        super().__init__(bench)
        self.under = under

    def press(self, key: str, character: str | None) -> None:
        """Try to write once more, and go back to what lies under this; or leave from there."""
        action = None if self.under.asked else self.bench.companion.keys.action(key)
        if action == "leave":
            self.leave()
        elif action not in GUARDED or not self.bench.too_soon(action):
            self.bench.told_unsaved = True
            self.braid.journal_retry()

    def leave(self) -> None:
        """Leave the bench as from the mode under it."""
        self.under.leave()

    def foot(self) -> tuple[FootKey, ...]:
        """Go on, or leave."""
        return (FootKey("next"), FootKey("leave"))

    def help_lines(self) -> Lines:
        """The keys of what lies under it."""
        return self.under.help_lines()

    def answers(self) -> Sequence[str]:
        """What answers the mode under it."""
        return self.under.answers()

    def spoken(self) -> str:
        """What the mode under it says."""
        return self.under.spoken()

    def draw(self, view: View) -> Canvas:
        """Draw that the journal cannot be written, large."""
        braid = self.braid
        canvas = framed(view, "back", double=True)
        room = canvas.width - 6
        parts = [
            wrap(f"({braid.unsaved})  {braid.trouble}", room)[:2],
            *(wrap(text, room) for text in TEXTS),
            [str(braid.journal.path)],
        ]
        y = draw_title(canvas, 2, "NOT SAVED", "back", below=sum(len(part) + 1 for part in parts))
        for number, part in enumerate(parts):
            for line in part:
                canvas.text(3, y, line, "bold" if number == 0 else "", room)
                y += 1
            y += 1
        draw_main_key(canvas, view, f"{view.keys.name('next')}  go on")
        return canvas
