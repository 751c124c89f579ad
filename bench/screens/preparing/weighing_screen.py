"""Weighing some beads together: which ones, how many, how much; then their mass is better known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from textual import events

from bench.craft.weight_proof import BeadMass
from bench.journal.errors import JournalError
from bench.journal.payloads import BeadWeighed
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.kit import words
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.companion import Companion
from bench.screens.kit.figure import draw_figure, put_on
from bench.screens.kit.framed_page import MARGIN, draw_page_keys, framed_page
from bench.screens.kit.help_page import Lines
from bench.screens.kit.page import paragraph
from bench.screens.kit.view import View
from bench.screens.preparing.measuring_view import far_off

USUAL, MOST_USUAL = 20, 100
"""Beads on the scale unless another number is typed: as many as it weighs well, within these."""
WELL = 10
"""So many steps of the scale tell a weight within a twentieth, half a step being rounded off."""

WEIGH_HELP: Lines = (
    ("a letter", "which bead you weigh"),
    ("digits", "how many lie on the scale together, then what they weigh in grams"),
    ("ENTER", "keep what is typed"),
    ("BACKSPACE", "the last digit; with none typed, one step back"),
    ("ESC", "back to which bead, and from there to loading"),
)

WeighingPage = Literal["which", "how many", "grams"]


class WeighScreen(BoardScreen):
    """Asks for a bead, a number and grams, and keeps it; then for the next bead."""

    def __init__(self, companion: Companion, braid: Braid) -> None:
        super().__init__(companion)
        self.braid = braid
        self.page: WeighingPage = "which"
        self.letter = ""
        self.beads = USUAL
        self.typed = self.said = ""
        self._doubted = ""
        self._kept: BeadWeighed | None = None
        self._work_up()

    def _work_up(self) -> None:
        """Work the piece up, with all that was weighed so far."""
        self.made = WorkedPattern.for_piece(self.braid, self.companion.settings)
        self.masses = self.made.masses
        """What each bead of the pattern is taken to weigh."""

    def help_lines(self) -> Lines:
        """The keys of weighing."""
        return WEIGH_HELP

    def answers(self) -> Sequence[str]:
        """The letters of the beads that can be weighed."""
        return tuple(self.masses) if self.page == "which" else ()

    def press(self, key: str, character: str | None) -> None:
        """Act on a key."""
        key = key.lower()
        self.said = ""
        if key == "escape":
            if self.page == "which":
                self.app.pop_screen()
            self.page, self.typed = "which", ""
        elif key == "backspace":
            self._back()
        elif self.page == "which":
            if key in self.masses:
                self.letter, self.page = key, "how many"
                self.beads = self.usual
        elif key == "enter":
            self._take()
        elif character is not None:
            self._type(character)

    def on_paste(self, event: events.Paste) -> None:
        """Take what is pasted as if it were typed."""
        event.stop()
        if self.page != "which":
            self._type(event.text)
            self.redraw()

    def _type(self, text: str) -> None:
        self.typed = put_on(self.typed, text, whole=self.page == "how many")

    @property
    def well(self) -> int:
        """So many of the bead in hand the scale weighs well."""
        return math.ceil(
            WELL * self.companion.settings.stand.scale_g / self.masses[self.letter].mean_g
        )

    @property
    def usual(self) -> int:
        """How many are weighed unless another number is typed."""
        return min(MOST_USUAL, max(USUAL, 10 * math.ceil(self.well / 10)))

    def _back(self) -> None:
        """One step back: a figure, a question, or the weighing that was kept last."""
        if self.typed:
            self.typed = self.typed[:-1]
        elif self.page == "grams":
            self.page, self.typed = "how many", str(self.beads)
        elif self.page == "how many":
            self.page = "which"
        elif self._kept is None:
            self.said = "Nothing is kept that could be taken back; ESC goes back to loading."
        else:
            self._take_back(self._kept)

    def _take(self) -> None:
        if self.page == "how many":
            beads = int(self.typed or self.usual)
            if not beads:
                self.said = "Weigh one bead at least."
                return
            if beads < self.well and self._doubted != f"{beads} beads":
                self._doubted = f"{beads} beads"
                scale = self.companion.settings.stand.scale_g
                doubt = 50 * scale / (beads * self.masses[self.letter].mean_g)
                self.said = (
                    f"Too few to weigh well: the scale may be off by {doubt:.0f} %. Type more, or"
                    " ENTER again takes so many."
                )
                return
            self.beads, self.page, self.typed = beads, "grams", ""
            return
        grams = float(self.typed) if self.typed.strip(".") else 0.0
        if not grams:
            self.said = "They weigh more than nothing: take more beads, so that the scale shows it."
            return
        off = far_off(grams, self.beads * self.masses[self.letter].mean_g)
        if off and self._doubted != self.typed:
            self._doubted = self.typed
            self.said = f"That is {off} what was predicted: ENTER again if it is so."
            return
        self._keep(grams)

    def _keep(self, grams: float) -> None:
        # A figure with more digits comes from a finer scale than the settings know of.
        figure = 10.0 ** -len(self.typed.partition(".")[2])
        scale = min(self.companion.settings.stand.scale_g, figure)
        try:
            self._kept = self.braid.weigh_beads(self.letter, self.beads, grams, scale)
        except JournalError as error:
            self.said = str(error)
            return
        self._work_up()
        one = milligrams(self.masses[self.letter])
        self.said = f"Kept: {self.beads} {self.letter} weigh {grams:g} g; one {one}."
        self.page, self.typed, self._doubted = "which", "", ""

    def _take_back(self, kept: BeadWeighed) -> None:
        try:
            self.braid.undo_weighing(kept)
        except JournalError as error:
            self.said = str(error)
            return
        self._work_up()
        self.said = f"Taken back: what {kept.beads} {self.letter} weighed."
        self._kept = None

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the question."""
        view = View(width, height, self.companion.keys)
        canvas = framed_page(view, "WEIGH BEADS")
        if self.page == "which":
            self._draw_which(canvas)
        else:
            self._draw_figure(canvas, view)
        return canvas

    def _draw_which(self, canvas: Canvas) -> None:
        room = canvas.width - 6
        canvas.text(3, 3, "Which bead do you weigh? Its letter:", "bold", room)
        y = 5
        for letter, mass in sorted(self.masses.items()):
            if y < canvas.height - 5:
                canvas.text(3, y, letter, "key")
                name = words.bead_words(self.made.plan, letter)
                said = f"{name}: one is {milligrams(mass)}"
                why = f" ({mass.rests_on})"
                canvas.text(6, y, said + (why if len(said + why) <= room - 3 else ""), "", room - 3)
                canvas.zone(3, y, room, 1, letter)
            y += 1
        canvas.text(3, canvas.height - 4, self.said, "good", room)
        text = "" if self._kept is None else "BACKSPACE takes it back   "
        text += "ESC to loading"
        key = self.companion.keys.name("help")
        if key.lower() not in self.masses:
            text += f"   {key} help"
        canvas.text(3, canvas.height - 2, text, "", room)

    def _draw_figure(self, canvas: Canvas, view: View) -> None:
        room = canvas.width - 6
        mass, scale = self.masses[self.letter], self.companion.settings.stand.scale_g
        grams = self.page == "grams"
        name = f"{self.letter}, {words.bead_words(self.made.plan, self.letter)}"
        asks = f"{self.beads} of {name}: what do they weigh?" if grams else f"How many of {name}?"
        y = paragraph(canvas, 3, asks, "bold", None, MARGIN)
        shown = self.typed or ("-" if grams else str(self.usual))
        y = draw_figure(canvas, y + 1, shown, "g" if grams else "beads") + 1
        digits = max(0, math.ceil(-math.log10(scale) - 1e-9))
        hint = (
            f"predicted: {self.beads * mass.mean_g:.{digits}f} g, as your scale shows it"
            if grams
            else f"A scale of {scale:g} g (scale_g in settings.toml) weighs {self.well:,} or more"
            " well."
        )
        y = paragraph(canvas, y, hint, "", None, MARGIN)
        paragraph(canvas, y, self.said, "warn", None, MARGIN)
        canvas.text(3, canvas.height - 3, "type it, ENTER keeps it", "", room)
        canvas.zone(3, canvas.height - 3, room, 1, "enter")
        draw_page_keys(canvas, view, ("BACKSPACE", "step back"), ("ESC", "which bead"))


def milligrams(mass: BeadMass) -> str:
    """What one bead weighs, with as many digits as its doubt leaves it."""
    doubt = 1000 * mass.doubt_g
    digits = min(2, max(0, -math.floor(math.log10(doubt)))) if doubt > 0 else 2
    return f"{1000 * mass.mean_g:.{digits}f} mg"
