"""Weighing some beads together: which ones, how many, how much; then their mass is better known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from bench.braid import Braid
from bench.craft.proof import BeadMass
from bench.journal.errors import JournalError
from bench.prepare import bead_masses
from bench.prepared import prepared
from bench.workup import Workup

from . import words
from .bench_view import View
from .board_screen import BoardScreen
from .canvas import Canvas, wrap
from .letters import HEIGHT, big
from .measure_view import far_off
from .moments_help import WEIGH_HELP, Lines

USUAL = 20
"""Beads on the scale unless another number is typed."""
MOST_DIGITS = 6
WELL = 10
"""So many steps of the scale tell a weight within a twentieth, half a step being rounded off."""

Page = Literal["which", "how many", "grams"]


class WeighScreen(BoardScreen):
    """Asks for a bead, a number and grams, and keeps it; then for the next bead."""

    def __init__(self, braid: Braid) -> None:
        super().__init__()
        self.braid = braid
        self.page: Page = "which"
        self.letter = ""
        self.beads = USUAL
        self.typed = self.said = ""
        self._doubted = ""
        self._made: Workup | None = None

    @property
    def made(self) -> Workup:
        """The piece worked up, with all that was weighed so far."""
        if self._made is None:
            self._made = prepared(self.braid, self.app.settings)
        return self._made

    @property
    def masses(self) -> dict[str, BeadMass]:
        """What each bead of the pattern is taken to weigh."""
        return bead_masses(self.made)

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
        if key == "escape" or (key == "backspace" and not self.typed):
            if self.page == "which":
                self.app.pop_screen()
            self.page, self.typed = "which", ""
        elif self.page == "which":
            if key in self.masses:
                self.letter, self.page, self.beads = key, "how many", USUAL
        elif key == "backspace":
            self.typed = self.typed[:-1]
        elif key == "enter":
            self._take()
        elif character is not None and len(self.typed) < MOST_DIGITS:
            point = self.page == "grams" and character in ".," and "." not in self.typed
            if character.isascii() and character.isdigit():
                self.typed += character
            elif point:
                self.typed += "."

    def _take(self) -> None:
        if self.page == "how many":
            beads = int(self.typed or USUAL)
            if not beads:
                self.said = "Weigh one bead at least."
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
        bead = self.made.pattern.beads[self.letter]
        weighing = {"size": bead.size, "shape": bead.shape, "name": bead.name}
        scale = self.app.settings.stand.scale_g
        figures = {"beads": self.beads, "grams": grams, "resolution_g": scale}
        try:
            self.braid.record("bead_weighed", {**weighing, **figures})
        except JournalError as error:
            self.said = str(error)
            return
        self._made = None
        milligrams = 1000 * self.masses[self.letter].mean_g
        self.said = f"Kept: {self.beads} {self.letter} weigh {grams:g} g; one {milligrams:.1f} mg."
        self.page, self.typed, self._doubted = "which", "", ""

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the question."""
        view = View(width, height, self.app.keys)
        canvas = Canvas(view.width, view.height)
        canvas.frame(0, 0, view.width, view.height, "rule", double=False)
        canvas.text(3, 1, "WEIGH BEADS", "call")
        if self.page == "which":
            self._draw_which(canvas)
        else:
            self._draw_figure(canvas)
        return canvas

    def _draw_which(self, canvas: Canvas) -> None:
        room = canvas.width - 6
        canvas.text(3, 3, "Which bead do you weigh? Its letter:", "bold", room)
        y = 5
        for letter, mass in sorted(self.masses.items()):
            if y < canvas.height - 5:
                canvas.text(3, y, letter, "key")
                name = words.bead_words(self.made.plan, letter)
                said = f"{name}: one is {1000 * mass.mean_g:.1f} mg"
                why = f" ({mass.rests_on.split('; ')[-1]})"
                canvas.text(6, y, said + (why if len(said + why) <= room - 3 else ""), "", room - 3)
                canvas.zone(3, y, room, 1, letter)
            y += 1
        canvas.text(3, canvas.height - 4, self.said, "good", room)
        text = f"ESC back to loading   {self.app.keys.name('help')} help"
        canvas.text(3, canvas.height - 2, text, "", room)

    def _draw_figure(self, canvas: Canvas) -> None:
        room = canvas.width - 6
        mass, scale = self.masses[self.letter], self.app.settings.stand.scale_g
        grams = self.page == "grams"
        name = f"{self.letter}, {words.bead_words(self.made.plan, self.letter)}"
        asks = f"{self.beads} of {name}: what do they weigh?" if grams else f"How many of {name}?"
        y = 3
        for line in wrap(asks, room):
            canvas.text(3, y, line, "bold")
            y += 1
        end = big(canvas, 3, y + 1, self.typed or ("-" if grams else str(USUAL)), "bead")
        canvas.text(end + 3, y + HEIGHT, "g" if grams else "beads", "bold")
        y += HEIGHT + 2
        well = math.ceil(WELL * scale / mass.mean_g)
        hint = (
            f"predicted: {self.beads * mass.mean_g:.2f} g"
            if grams
            else f"A scale of {scale:g} g (scale_g in settings.toml) weighs {well:,} or more well."
        )
        for line in (*wrap(hint, room), *wrap(self.said, room)):
            canvas.text(3, y, line, "warn" if self.said and line in self.said else "")
            y += 1
        canvas.text(3, canvas.height - 3, "type it, ENTER keeps it", "", room)
        canvas.zone(3, canvas.height - 3, room, 1, "enter")
        text = f"BACKSPACE the last figure   ESC back   {self.app.keys.name('help')} help"
        canvas.text(3, canvas.height - 2, text, "", room)
