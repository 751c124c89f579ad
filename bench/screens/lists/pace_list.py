"""The maker's times by pattern: a list, and the pieces of the picked pattern in a plot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from textual.geometry import Size

from bench.craft.words import duration, plural
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import WIDE, draw_foot
from bench.screens.kit.help_page import Lines
from bench.screens.kit.list_screen import ListMode
from bench.screens.kit.picking import draw_list, moved, turned
from bench.screens.kit.plot import PlotPoint, draw_points
from bench.screens.lists.pace_figures import PLOTTED, PatternTimes, pattern_times, plot_points
from bench.screens.lists.pace_words import local_day
from bench.screens.lists.surety_words import holds
from bench.timing.pace_service import LivePace

TIMES_HELP: Lines = (
    ("UP DOWN", "choose a pattern; the plot shows its pieces"),
    ("LEFT RIGHT", "plot the whole piece, or one stage of it"),
    ("ENTER", "the pattern's rows, stages and pieces"),
    ("L", "back to the list"),
)


@dataclass
class PaceList(ListMode):
    """The list of patterns, and the plot of the one that is picked."""

    open_pattern: Callable[[PatternTimes], None]
    leave: Callable[[], object]
    pace: LivePace
    lines: Sequence[PatternTimes] = ()
    picked: int = 0
    plotted: str = "whole"
    points: list[PlotPoint] = field(default_factory=list)
    basis: str = ""
    """How many pieces it all rests on."""
    left_out: str = ""
    """Which finished pieces have no time, and why."""
    reading: bool = True
    said: str = ""

    help = TIMES_HELP

    def read(self) -> None:
        """Make the list and the plot anew, if the times are known."""
        self.reading = not (self.pace.known and self.pace.has_fit)
        if not self.reading:
            self.lines = pattern_times(self.pace)
            self.picked = max(0, min(self.picked, len(self.lines) - 1))
            pieces = [t for t in self.pace.pieces if not (t.trial or t.too_fast)]
            spent = duration(sum(times.spent_s for times in pieces))
            known = len(self.pace.records)
            self.basis = f"{plural(known, 'piece')} in {spent}" if known else ""
            self.left_out = self.pace.finished.left_out
            self._plot()

    def _plot(self) -> None:
        self.points = []
        if self.lines:
            self.points = plot_points(self.pace, self.lines[self.picked], self.plotted)

    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for."""
        self.said = ""
        if action in {"leave", "back", "times"}:
            self.leave()
        elif action in {"left", "right"}:
            names = list(PLOTTED)
            self.plotted = names[turned(names.index(self.plotted), action, len(names))]
            self._plot()
        elif action == "open" and self.lines:
            self.open_pattern(self.lines[self.picked])
        elif self.lines:
            self.pick(moved(self.picked, action, len(self.lines)))

    def pick(self, line: int) -> None:
        """Pick a pattern, and plot it."""
        self.picked = line
        self._plot()

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the list above, the plot below."""
        canvas = Canvas(width, height)
        canvas.text(1, 0, "YOUR TIMES", "bold")
        canvas.right(0, self.basis, end=width - 1)
        canvas.rule(1)
        if self.reading:
            canvas.text(1, 3, "reading the times of your pieces")
        elif not self.lines:
            none = "No piece with times is finished yet." if self.left_out else NONE_YET
            for y, line in enumerate(wrap(f"{none} {HOW}", width - 2), 3):
                canvas.text(1, y, line)
        else:
            room = max(2, min(len(self.lines), (height - 8) // 2 - 1))
            self._draw_list(canvas, room)
            self._draw_plot(canvas, 4 + room, height - 7 - room)
        keys = (
            ("UP DOWN", "pattern", ""),
            ("LEFT RIGHT", "stage", "right"),
            ("ENTER", "more", "open"),
            ("L", "back", "leave"),
        )
        draw_foot(canvas, keys, self.said or self.left_out, named)
        return canvas

    def _draw_list(self, canvas: Canvas, room: int) -> None:
        width = canvas.width
        tells_last = width >= WIDE
        column = width - 46 if tells_last else max(16, width - 38)
        between = holds(is_guess=self.pace.model.is_guess)
        heads = [("pattern", 3), ("made", column), ("next piece", column + 7)]
        heads += [(between, column + 19), *([("last", width - 7)] if tells_last else [])]
        for head, x in heads:
            canvas.text(x, 2, head, "dim")

        def draw_line(number: int, y: int, style: str) -> None:
            line = self.lines[number]
            canvas.text(3, y, line.name, style or "bold", column - 4)
            canvas.right(y, f"{line.pieces:,}", style, column + 4)
            canvas.text(column + 7, y, duration(line.median_s), style)
            between = f"{duration(line.low_s)} to {duration(line.high_s)}"
            canvas.text(column + 19, y, between, style)
            if tells_last and line.last is not None:
                canvas.text(width - 7, y, f"{local_day(line.last):%d %b}", style)

        draw_list(canvas, 3, room, len(self.lines), self.picked, draw_line)

    def _draw_plot(self, canvas: Canvas, y: int, height: int) -> None:
        """Draw the plot with its heading."""
        what = PLOTTED[self.plotted]
        wide = canvas.width >= WIDE
        which = "WITH REWORK" if wide and self.plotted in {"whole", "braid"} else "BY PIECE"
        canvas.rule(y)
        canvas.text(1, y, f" MINUTES, {what.upper()}, {which} ", "bold")
        pieces = "● good ○ second × given up" if wide else "●○× pieces"
        canvas.right(y, f" {pieces}  · 8 in 10 ", end=canvas.width - 1)
        if all(point.value is None for point in self.points):
            none = f"No piece of this has its {what} timed: LEFT RIGHT shows another."
            canvas.text(3, y + 2, none)
            return
        draw_points(canvas, 0, y + 1, canvas.width - 1, height - 1, self.points)


NONE_YET = "No piece is finished yet."
HOW = "Times are kept by themselves while you braid: finish a piece, and it stands here."
