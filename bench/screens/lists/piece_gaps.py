"""The longest gaps between two presses of one piece; each is work or a break."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from textual.geometry import Size

from bench.craft.words import duration
from bench.screens.kit.canvas import Canvas, clauses
from bench.screens.kit.foot import draw_foot
from bench.screens.kit.help_page import Lines
from bench.screens.kit.list_screen import ListMode
from bench.screens.kit.picking import draw_list, moved
from bench.screens.kit.plot import bar
from bench.screens.kit.words import STAGE_WORDS
from bench.screens.lists.pace_words import minutes_and_seconds, short_time
from bench.timing.piece_history import Course, Gap

LONGEST = 12
"""Gaps of a piece that are shown beside its breaks."""
GAPS_HELP: Lines = (
    ("UP DOWN", "choose a gap between two presses"),
    ("ENTER", "it was a break, or it was work: the times are worked out anew"),
    ("L", "back to the pieces"),
)


@dataclass
class PieceGaps(ListMode):
    """A piece's breaks and longest gaps, in the order in which they came."""

    correct: Callable[[Gap], None]
    leave: Callable[[], object]
    course: Course
    gaps: Sequence[Gap]
    picked: int = 0
    said: str = ""

    help = GAPS_HELP

    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for."""
        self.said = ""
        if action in {"leave", "back"}:
            self.leave()
        elif action == "open" and self.gaps:
            self.correct(self.gaps[self.picked])
        else:
            self.picked = moved(self.picked, action, len(self.gaps))

    def take(self, course: Course) -> None:
        """Show the same gaps of the piece as it was read anew."""
        self.course = course
        shown = {gap.event for gap in self.gaps}
        self.gaps = [gap for gap in course.gaps if gap.event in shown]

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the piece's times and its gaps."""
        canvas = Canvas(width, height)
        times = self.course.times
        title = (times.title or times.pattern).upper()
        canvas.text(1, 0, f"{title}: BREAKS AND LONG GAPS", "bold", width - 2)
        canvas.rule(1)
        parts = [f"{STAGE_WORDS[s]} {duration(f.hands_on_s)}" for s, f in times.stages.items()]
        said = f"hands-on {duration(times.hands_on_s)}: {', '.join(parts)}"
        canvas.text(1, 2, clauses(said, width - 2), "", width - 2)
        rework = short_time(sum(f.rework_s for f in times.stages.values()))
        breaks = short_time(sum(f.break_s for f in times.stages.values()))
        waiting = "" if times.waiting_s is None else f"   drying {duration(times.waiting_s)}"
        canvas.text(1, 3, f"apart: rework {rework}   breaks {breaks}{waiting}")
        if not self.gaps:
            canvas.text(1, 5, "No gap of this piece is known.")
        longest = max((gap.seconds for gap in self.gaps), default=1.0)

        def draw_line(number: int, y: int, style: str) -> None:
            _draw_gap(canvas, y, self.gaps[number], longest, style)

        draw_list(canvas, 5, height - 9, len(self.gaps), self.picked, draw_line)
        keys = (("UP DOWN", "gap", ""), ("ENTER", "break or work", "open"), ("L", "back", "leave"))
        draw_foot(canvas, keys, self.said, named)
        return canvas


def _draw_gap(canvas: Canvas, y: int, gap: Gap, longest: float, style: str) -> None:
    zone = dt.timezone(dt.timedelta(minutes=gap.offset_min))
    began = dt.datetime.fromtimestamp(gap.wall - gap.seconds, zone)
    canvas.text(3, y, f"{began:%d %b %H:%M}", style)
    where = STAGE_WORDS[gap.stage]
    if gap.stage == "braid" and gap.cross:
        where += f", before cross {gap.cross}"
    canvas.text(17, y, where, style, 26)
    canvas.right(y, minutes_and_seconds(gap.seconds), style, 52)
    said = "BREAK" if gap.is_break else "work"
    canvas.text(54, y, said, style or ("warn" if gap.is_break else ""))
    if gap.corrected:
        canvas.text(60, y, "you said", style)
    if canvas.width > 73:
        canvas.text(69, y, bar(gap.seconds / longest, canvas.width - 70), style or "call")


def gaps_to_show(course: Course) -> list[Gap]:
    """A piece's breaks, its longest gaps and those that were put right, in order."""
    longest = sorted(course.gaps, key=lambda gap: -gap.seconds)[:LONGEST]
    shown = {gap.event for gap in longest}
    return [g for g in course.gaps if g.event in shown or g.is_break or g.corrected]
