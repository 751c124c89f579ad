"""The screen on which a finished piece is measured."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events

from bench.craft.measuring import Corrections
from bench.craft.words import full_name
from bench.journal.errors import JournalError
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.calibration import calibration_with_stock
from bench.making.expected_piece import ExpectedPiece
from bench.making.worked_pattern import WorkedPattern
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.companion import Companion
from bench.screens.kit.figure import put_on
from bench.screens.kit.help_page import Lines
from bench.screens.kit.view import View
from bench.screens.preparing.measuring_view import (
    Measuring,
    draw_measured,
    draw_measuring,
    figures_of,
)

MEASURE_HELP: Lines = (
    ("digits", "the figure that is asked for, in the unit beside it"),
    ("ENTER", "keep it; with nothing typed: it was not measured"),
    ("BACKSPACE", "the last digit; with none typed, back to the figure before"),
    ("", "at the first figure, back to the question how it came out"),
    ("ESC", "leave the rest out; what was entered is kept"),
)


class MeasureScreen(BoardScreen):
    """Asks for each figure once; every one may be skipped. Leaving keeps what was entered."""

    def __init__(self, companion: Companion, braid: Braid) -> None:
        super().__init__(companion)
        self.braid = braid
        self.measuring: Measuring | None = None
        self.kept = False
        self.shifts: Corrections | None = None
        """What the next predictions become, once the measures are kept."""

    def on_mount(self) -> None:
        """Work the predictions out."""
        self.measuring = self._begin()

    def _begin(self) -> Measuring:
        settings, state = self.companion.settings, self.braid.state
        made = WorkedPattern.for_piece(self.braid, settings)
        expected = ExpectedPiece.of(made, settings)
        self._cut_mm = expected.thread_cut_mm
        return Measuring(
            figures_of(expected),
            asks_sample=made.calibration.sample is None and state.status == "good",
            what=full_name(self.braid.pattern.title, state.size, state.colourway),
        )

    def help_lines(self) -> Lines:
        """The keys of measuring; none where any key leaves."""
        return () if self.kept else MEASURE_HELP

    def answers(self) -> Sequence[str]:
        """What answers the last question."""
        return ("y", "n")

    def press(self, key: str, character: str | None) -> None:
        """Act on a key."""
        measuring = self.measuring
        if measuring is None or self.kept:
            self.app.pop_screen()
            return
        if key == "escape" or self.companion.keys.action(key) == "leave":
            measuring.skip_rest()
        elif key == "backspace" and measuring.at_the_start:
            self._ask_again(measuring)
        else:
            measuring.press(key.lower(), character)
        if measuring.done:
            self._keep(measuring)

    def _ask_again(self, measuring: Measuring) -> None:
        """Take back how the piece came out: the bench asks once more."""
        try:
            self.braid.reopen()
        except (JournalError, NotNow) as refusal:
            measuring.said = str(refusal)
            return
        self.app.pop_screen()
        self.companion.ask_how_it_came_out(self.braid)

    def on_paste(self, event: events.Paste) -> None:
        """Take what is pasted as if it were typed."""
        event.stop()
        measuring = self.measuring
        if measuring is not None and measuring.figure is not None:
            measuring.typed = put_on(measuring.typed, event.text)
            self.redraw()

    def _keep(self, measuring: Measuring) -> None:
        said = bool(measuring.values or measuring.sample)
        if said:
            figures = {**measuring.values, "thread_cut_mm": round(self._cut_mm, 1)}
            try:
                self.braid.measure(figures, sample=bool(measuring.sample))
            except (JournalError, NotNow) as error:
                measuring.said = str(error)
                return
        self.kept = True
        self.shifts = calibration_with_stock(
            self.braid.journal, self.braid.state, self.companion.settings
        ).corrections
        if not said:
            self.app.pop_screen()

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the question, or what came of it."""
        if self.measuring is None:
            return Canvas(width, height)
        view = View(width, height, self.companion.keys)
        if self.shifts is not None:
            return draw_measured(self.measuring, self.shifts, view)
        return draw_measuring(self.measuring, view)
