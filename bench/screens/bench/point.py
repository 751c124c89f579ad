"""The point of braiding: what the maker sees is kept, and answered in grams."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.counterweight import Nudge
from bench.documents.settings import Settings
from bench.making.braid import Braid
from bench.making.point_of_braiding import point_nudge
from bench.making.worked_pattern import WorkedPattern
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View

_SEEN = {"1": "high", "2": "low", "3": "level"}
_CHOICES = (
    ("1", "too high", "it rides up over the mirror: the weight is too light"),
    ("2", "too low", "it is pulled down into the hole: the weight is too heavy"),
    ("3", "level", "it lies where it should"),
)


@dataclass
class PointLook:
    """One look at the point of braiding. `nudge` is None where nothing is to be changed."""

    braid: Braid
    settings: Settings
    seen: str = ""
    nudge: Nudge | None = None
    trouble: str = ""

    def press(self, key: str) -> bool:
        """Take a key; return whether the maker goes back to braiding."""
        if self.seen or key in {"escape", "backspace"}:
            return True
        if key not in _SEEN:
            return False
        seen = _SEEN[key]
        try:
            self.nudge = point_nudge(
                self.braid, WorkedPattern.for_piece(self.braid, self.settings), seen
            )
        except ValueError as error:
            self.trouble = str(error)
        self.braid.record("point_seen", {"at": seen})
        self.seen = seen
        return False

    @property
    def answer(self) -> tuple[str, tuple[str, ...]]:
        """The answer: a word or figure to be read from afar, and sentences."""
        if self.trouble:
            return "LOOK", (self.trouble,)
        nudge = self.nudge
        if nudge is None:
            return "LEVEL", ("Leave the weight as it is.",)
        says = f"{nudge.says[:1].upper()}{nudge.says[1:]}."
        rests_on = f"{nudge.rests_on[:1].upper()}{nudge.rests_on[1:]}."
        if not nudge.grams:
            return "LOOK", (says, rests_on)
        return f"{'+' if nudge.grams > 0 else '-'}{abs(nudge.grams):.4g} G", (
            says,
            "Stick in, then weight off; change it; weight on, then stick out. Feet clear of it.",
            rests_on,
        )


def draw_point(look: PointLook, view: View) -> Canvas:
    """Ask how the point of braiding lies, or answer it in grams, large."""
    canvas = Canvas(view.width, view.height)
    canvas.frame(0, 0, view.width, view.height, "rule", double=False)
    room = view.width - 6
    canvas.text(3, 1, "POINT OF BRAIDING", "call")
    if not look.seen:
        y = 3
        for line in wrap("How does it lie against the mirror, the top of the stand?", room):
            canvas.text(3, y, line, "bold")
            y += 1
        for key, name, meaning in _CHOICES:
            y += 1
            lines = wrap(meaning, room - 14)
            canvas.zone(3, y, room, len(lines), key)
            canvas.text(3, y, key, "key")
            canvas.text(6, y, name, "bold")
            for part in lines:
                canvas.text(17, y, part)
                y += 1
        canvas.text(3, view.height - 2, f"ESC back, nothing kept   {view.keys.name('help')} help")
        return canvas
    word, sentences = look.answer
    scale = 2 if view.height >= 34 and width_of(word, 2) <= room else 1
    big(canvas, 3, 3, word, "call", scale)
    y = 4 + HEIGHT * scale
    for number, text in enumerate(sentences):
        for line in wrap(text, room):
            canvas.text(3, y, line, "bold" if number == 0 else "")
            y += 1
        y += 1
    canvas.text(3, view.height - 2, "any key: back to braiding", "bold")
    canvas.zone(0, 0, view.width, view.height, "enter")
    return canvas
