"""The drawing board: the picture of the sheet above, the mode's panel below it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from textual.timer import Timer
from textual.worker import get_current_worker

from bench.commission.piece_figures import PieceFigures
from bench.craft.pattern import Pattern
from bench.design.sheet import Sheet
from bench.documents.stock import Shelf
from bench.screens.drawing.at_hand import stock_at_hand
from bench.screens.drawing.commands import commands_of
from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.draft import Draft
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.keys_first import keys_first
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.not_saved import draw_alarm
from bench.screens.drawing.painting import Painting
from bench.screens.drawing.picture import PANEL, SPACIOUS, Picture
from bench.screens.drawing.question import Question
from bench.screens.drawing.reckoning import reckoning
from bench.screens.drawing.typed_line import TypedLine
from bench.screens.drawing.worked_out import WorkedOut, work_out
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.kit.themes import shows_colours

AFTER_KEYS_S = 0.12
"""So long after the last key the figures are worked out, so that no key waits for them."""
AFTER_MANY_S, MANY_BEADS = 0.7, 4_000
"""The same for a sheet of more beads, which takes a second or more."""


class DrawingScreen(BoardScreen):
    """One sketch on the board."""

    companion: DrawingCompanion

    def __init__(self, companion: DrawingCompanion, draft: Draft) -> None:
        super().__init__(companion)
        self.drawing = Drawing(draft)
        self.picture = Picture(self.drawing)
        self.painting = Painting(self, commands_of(self, self.leave))
        self.mode: BoardMode = self.painting
        self._timer: Timer | None = None
        self._wanted: Sheet | None = None
        self._shelf: Shelf | None = None

    def on_mount(self) -> None:
        """Work the figures out for the first time."""
        self.drawing.colours = shows_colours(self.app.console)
        draft = self.drawing.draft
        begun = not (draft.text or draft.history.done)
        self.drawing.key = self.companion.keys.name
        self.drawing.said = " ".join(draft.told) or (self._how_to_begin() if begun else "")
        if begun:
            self.drawing.reach_all()
        self._work_out_soon()

    def _how_to_begin(self) -> str:
        key = self.drawing.key
        return (
            f"{key('shape')} makes a shape from a wish, {key('load')} takes a typed load, a digit"
            f" lays beads; {key('structure')}: on another structure, {key('help')}: all keys."
        )

    # Keys and what is shown

    def press(self, key: str, character: str | None) -> None:
        """Leave the key to the mode that is up; the figures follow."""
        self._act(lambda: self.mode.press(key, character))

    def touch(self, action: str) -> None:
        """Leave the touched part to the mode that is up."""
        if action == "help":
            self.help = bool(self.help_lines())
            return
        self._act(lambda: self.mode.touch(action))

    def _act(self, deed: Callable[[], None]) -> None:
        """Do it; where the sketch cannot be written any more, that is said large once."""
        drawing = self.drawing
        drawing.said, drawing.alarm = "", False
        before = drawing.draft.trouble
        deed()
        if drawing.draft.trouble and not before:
            drawing.alarm = True
        self._work_out_soon()

    def answers(self) -> tuple[str, ...]:
        """Keys that are answers in the present mode."""
        return self.mode.answers()

    def help_lines(self) -> Lines:
        """The help of the present mode."""
        return self.mode.help

    def named_help(self, lines: Lines) -> list[tuple[str, str]]:
        """The keys of painting can be set; those of the other modes are as they are."""
        return self.companion.keys.of_the_board(lines)

    def told(self, said: str) -> None:
        """Say how a piece was left."""
        self.drawing.said = said

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the picture and the panel."""
        if self.mode.whole:
            canvas = Canvas(width, height)
            self.mode.draw(canvas, 0)
            return canvas
        canvas = self.picture.draw(width, height)
        if self.drawing.alarm:
            draw_alarm(canvas, height - PANEL, self.drawing)
        else:
            self.mode.draw(canvas, height - PANEL)
        return canvas

    # Figures, off the key's way

    def _work_out_soon(self) -> None:
        if self._timer is not None:
            self._timer.stop()
        worked, drawing = self.drawing.worked, self.drawing
        if worked is None or worked.sheet is not drawing.sheet or worked.size != drawing.draft.size:
            long = sum(map(len, drawing.sheet.loads)) > MANY_BEADS
            self._timer = self.set_timer(AFTER_MANY_S if long else AFTER_KEYS_S, self._work_out)

    def _work_out(self) -> None:
        draft = self.drawing.draft
        sheet = self.drawing.sheet
        if self._wanted is sheet:
            return
        self._wanted = sheet
        piece = self._reckoning(sheet)
        work = partial(self._working_out, sheet, draft.shown(sheet), draft.size, piece)
        self.run_worker(work, thread=True, exclusive=True, group="figures", exit_on_error=False)

    def _reckoning(self, sheet: Sheet) -> Callable[[], PieceFigures | None]:
        """What works out time and price, where there is room to show them and it is soon done."""
        few = sum(map(len, sheet.loads)) <= MANY_BEADS
        if not few or self.size.width < SPACIOUS[0] or self.size.height < SPACIOUS[1]:
            return lambda: None
        if self._shelf is None:
            self._shelf, _ = stock_at_hand(self.companion)
        return reckoning(self.drawing.draft, sheet, self._shelf, self.companion)

    def _working_out(
        self,
        sheet: Sheet,
        pattern: Pattern,
        size: str | None,
        piece: Callable[[], PieceFigures | None],
    ) -> None:
        worker = get_current_worker()
        with keys_first():
            found = replace(work_out(sheet, pattern, size), piece=piece())
        if not worker.is_cancelled:
            self.app.call_from_thread(self._worked_out, found)

    def _worked_out(self, found: WorkedOut) -> None:
        self._wanted = None
        self.drawing.worked = found
        self._work_out_soon()
        if self.app.screen is self:
            self.redraw()

    # What modes ask of the screen

    def ask(self, question: Question) -> None:
        """Ask for a line over the board."""
        self.app.push_screen(TypedLine(self.companion, question, self._behind, self._answered))

    def _behind(self, width: int, height: int) -> Canvas:
        return self.draw(width, height) if self.mode.whole else self.picture.draw(width, height)

    def _answered(self) -> None:
        if self.mode is self.painting:
            self.drawing.preview = None
        self._work_out_soon()

    def to_mode(self, mode: BoardMode | None) -> None:
        """Put another mode up, or go back to painting."""
        self.mode = mode or self.painting
        if mode is None:
            self.drawing.preview = None

    def beside(self, work: Callable[[], object], done: Callable[[object], None]) -> None:
        """Work something out off the key's way, then give what came of it to `done`."""

        def working() -> None:
            worker = get_current_worker()
            with keys_first():
                found = work()
            if not worker.is_cancelled:
                self.app.call_from_thread(finished, found)

        def finished(found: object) -> None:
            done(found)
            if self.app.screen is self:
                self.redraw()

        self.run_worker(working, thread=True, group="beside", exit_on_error=False)

    def open_beside(self, draft: Draft) -> None:
        """Put another pattern on the board, over this one."""
        self.app.push_screen(DrawingScreen(self.companion, draft))

    def on_unmount(self) -> None:
        """Let the sketch go as it is, however the board is left."""
        self.drawing.draft.rest()

    def leave(self) -> None:
        """Let the sketch go, so that the list knows what is kept, and go back to the list."""
        self.drawing.draft.rest()
        self.app.pop_screen()
