"""The point of braiding: what the maker sees is kept, and answered in grams."""

from __future__ import annotations

from bench.craft.counterweight import Nudge
from bench.journal.payloads import PointAt
from bench.making.point_nudge import point_nudge
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.mode import Asked, Bench
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.framed_page import MARGIN, draw_choices, draw_page_keys, framed_page
from bench.screens.kit.help_page import Lines
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.page import paragraph
from bench.screens.kit.view import View

HELP: Lines = (
    ("1 2 3", "how the point of braiding lies; the answer comes in grams"),
    ("ESC", "back; nothing is kept"),
)
SEEN: dict[str, PointAt] = {"1": "high", "2": "low", "3": "level"}
CHOICES = (
    ("1", "too high", "it rides up over the mirror: the weight is too light"),
    ("2", "too low", "it is pulled down into the hole: the weight is too heavy"),
    ("3", "level", "it lies where it should"),
)


class PointOfBraiding(Asked):
    """One look at the point of braiding. `nudge` is None where nothing is to be changed."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self.seen = ""
        self.nudge: Nudge | None = None
        self.trouble = ""

    def help_lines(self) -> Lines:
        """The keys of the look; none where any key leaves."""
        return () if self.seen else HELP

    def press(self, key: str, character: str | None) -> None:
        """Answer the look; after that any key leads back."""
        if self.seen or key == "backspace" or self.closes(key):
            self.bench.close()
        elif key in SEEN:
            self._answer(SEEN[key])

    def _answer(self, seen: PointAt) -> None:
        try:
            made = WorkedPattern.for_piece(self.braid, self.bench.companion.settings)
            self.nudge = point_nudge(self.braid, made, seen)
        except ValueError as error:
            self.trouble = str(error)
        self.braid.see_point(seen)
        self.seen = seen

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

    def draw(self, view: View) -> Canvas:
        """Ask how the point of braiding lies, or answer it in grams, large."""
        canvas = framed_page(view, "POINT OF BRAIDING")
        if self.seen:
            _draw_answer(canvas, *self.answer)
        else:
            _draw_question(canvas, view)
        return canvas


def _draw_question(canvas: Canvas, view: View) -> None:
    asks = "How does it lie against the mirror, the top of the stand?"
    y = paragraph(canvas, 3, asks, "bold", None, MARGIN)
    draw_choices(canvas, y + 1, CHOICES, gap=1)
    draw_page_keys(canvas, view, ("ESC", "back, nothing kept"))


def _draw_answer(canvas: Canvas, word: str, sentences: tuple[str, ...]) -> None:
    fits = width_of(word, 2) <= canvas.width - 2 * MARGIN
    scale = 2 if canvas.height >= 34 and fits else 1
    big(canvas, MARGIN, 3, word, "call", scale)
    y = 4 + HEIGHT * scale
    for number, text in enumerate(sentences):
        y = paragraph(canvas, y, text, "" if number else "bold", None, MARGIN) + 1
    canvas.text(MARGIN, canvas.height - 2, "any key: back to braiding", "bold")
    canvas.zone(0, 0, canvas.width, canvas.height, "enter")
