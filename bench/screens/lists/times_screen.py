"""The pace screen: what pieces took and will take, where it gets slow, which gaps are breaks."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import cast

from textual.worker import get_current_worker

from bench.journal.errors import JournalError
from bench.journal.store import Journal
from bench.pace.predict import Job, history
from bench.pace.records import STAGES, PieceRecord, Stage
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.help_page import Lines
from bench.screens.kit.plot import Spot
from bench.screens.kit.words import plural
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.times_view import (
    PAGES,
    SHOWN,
    Detail,
    Gaps,
    Line,
    StageLine,
    Times,
    draw_detail,
    draw_gaps,
    draw_times,
)
from bench.timing.piece_history import Course, Gap, course_of, row_times

LATEST = 30
"""Pieces that rows, stages and the list of pieces are read from."""
LONGEST = 12
"""Gaps of a piece that are shown beside its breaks."""
MOST_SPOTS = 80
UNITS = {"load": "a bead", "set_up": "a strand", "braid": "a cross", "finish": "a piece"}
SIGNS = {"good": "●", "second": "○", "given_up": "×"}
LOOKING_ON = "Looking on only: another window writes to this journal."
BACK = {"l", "escape", "backspace", "q"}
TIMES_HELP: Lines = (
    ("UP DOWN", "choose a pattern; the plot shows its pieces"),
    ("LEFT RIGHT", "plot the whole piece, or one stage of it"),
    ("ENTER", "the pattern's rows, stages and pieces"),
    ("L", "back to the list"),
)
DETAIL_HELP: Lines = (
    ("LEFT RIGHT", "the pages: rows, stages, pieces"),
    ("UP DOWN", "on the pieces: choose one"),
    ("ENTER", "on the pieces: the gaps of that one, and which count as breaks"),
    ("M", "on the pieces: measure that one again; the sample is signed off there too"),
    ("L", "back to all patterns"),
)
GAPS_HELP: Lines = (
    ("UP DOWN", "choose a gap between two presses"),
    ("ENTER", "it was a break, or it was work: the times are worked out anew"),
    ("L", "back to the pieces"),
)


class PaceScreen(BoardScreen):
    """Three depths: the patterns with a plot, one pattern's pages, one piece's gaps."""

    key_set = "the pages"

    companion: ListsCompanion

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.times = Times()
        self.detail: Detail | None = None
        self.gaps: Gaps | None = None

    def on_mount(self) -> None:
        """Show the times once the screen is up."""
        self.times.reading = not self.companion.outlook.known
        self.call_after_refresh(self.times_read)

    # What is shown

    def times_read(self) -> None:
        """Make the list and the plot anew."""
        outlook = self.companion.outlook
        self.times.reading = not outlook.known
        if outlook.known:
            kinds: dict[tuple[str, str, str], list[PieceRecord]] = {}
            for record in outlook.records:
                kind = (record.pattern, record.size, record.colourway)
                kinds.setdefault(kind, []).append(record)
            lines = [self._line(*kind, made) for kind, made in kinds.items()]
            lines.sort(key=lambda line: (-(line.last or 0.0), line.title))
            self.times.lines = lines
            self.times.picked = max(0, min(self.times.picked, len(lines) - 1))
            self.times.basis = plural(len(outlook.records), "piece")
            self.times.left_out = outlook.left_out
            self._plot()
        self.redraw()

    def _line(self, pattern: str, size: str, colourway: str, made: Sequence[PieceRecord]) -> Line:
        job = Job(pattern, size, colourway, made[-1].work)
        days = [record.day for record in made if record.day is not None]
        return Line(
            pattern,
            size,
            colourway,
            pattern.replace("-", " ").title(),
            len(made),
            *self.companion.outlook.next_piece(job),
            max(days) * 86_400 if days else None,
        )

    def _plot(self) -> None:
        times, outlook = self.times, self.companion.outlook
        times.spots = []
        if not times.lines:
            return
        line = times.lines[times.picked]
        kind = (line.pattern, line.size, line.colourway)
        stages = STAGES if times.shown == "whole" else (cast("Stage", times.shown),)
        found = history(outlook.model, outlook.records, line.pattern, stages, last=MOST_SPOTS)
        for made in found:
            record = made.record
            value = _value(record, stages)
            if (record.pattern, record.size, record.colourway) == kind and value is not None:
                said = made.band.interval()
                band = (said.low_s / 60, said.median_s / 60, said.high_s / 60)
                sign = SIGNS[record.outcome]
                times.spots.append(Spot(made.number, value / 60, *band, sign))
        if times.spots:
            shares = tuple((stage, 1.0) for stage in stages)
            work = found[-1].record.work
            low, middle, high = outlook.next_piece(Job(*kind, work, shares))
            number = found[-1].number + 1
            times.spots.append(Spot(number, None, low / 60, middle / 60, high / 60))

    # Keys

    def touch(self, action: str) -> None:
        """Pick what is touched; on what is picked, open it."""
        kind, _, which = action.partition(" ")
        if kind == "page" and self.detail is not None:
            self.detail.page = which
        elif kind == "row":
            holder = self.gaps or self.detail or self.times
            if holder.picked == int(which):
                self.press("enter", None)
            else:
                holder.picked = int(which)
                self._moved()
        else:
            self.take(kind, None)

    def help_lines(self) -> Lines:
        """The keys of the depth that is shown."""
        if self.gaps is not None:
            return GAPS_HELP
        return TIMES_HELP if self.detail is None else DETAIL_HELP

    def press(self, key: str, character: str | None) -> None:
        """Act on a key at the depth that is shown."""
        key = key.lower()
        self.times.said = ""
        if self.gaps is not None:
            self._press_gaps(self.gaps, key)
        elif self.detail is not None:
            self._press_detail(self.detail, key)
        elif key in BACK or key == "t":
            self.app.pop_screen()
        elif key in {"left", "right"}:
            names = list(SHOWN)
            at = names.index(self.times.shown) + (1 if key == "right" else -1)
            self.times.shown = names[at % len(names)]
            self._plot()
        elif key == "enter" and self.times.lines:
            self._open(self.times.lines[self.times.picked])
        elif self.times.lines:
            self.times.picked = moved(self.times.picked, key, len(self.times.lines))
            self._moved()

    def _moved(self) -> None:
        if self.detail is None:
            self._plot()

    def _press_detail(self, detail: Detail, key: str) -> None:
        detail.said = ""
        if key in BACK:
            self.detail = None
        elif key in {"left", "right"}:
            at = PAGES.index(detail.page) + (1 if key == "right" else -1)
            detail.page = PAGES[at % len(PAGES)]
        elif detail.page == "pieces" and detail.courses:
            if key == "enter":
                self.gaps = gaps_of(detail.courses[detail.picked])
            elif key == "m":
                self._measure(detail, detail.courses[detail.picked])
            else:
                detail.picked = moved(detail.picked, key, len(detail.courses))

    def _measure(self, detail: Detail, course: Course) -> None:
        """Measure a finished piece once more; the sample can be signed off there."""
        from bench.making.braid import Braid

        journal, times = self.companion.journal, course.times
        if journal is None or self.companion.looking_on:
            detail.said = LOOKING_ON
        elif times.recorded or times.status not in {"good", "second"}:
            detail.said = "Only a piece that was finished at the bench is measured."
        else:
            try:
                self.companion.measure(Braid(journal, times.piece))
            except (JournalError, KeyError):
                detail.said = "How this piece began is lost from the journal."

    def _press_gaps(self, gaps: Gaps, key: str) -> None:
        gaps.said = ""
        if key in BACK:
            self.gaps = None
        elif key == "enter" and gaps.gaps:
            self._correct(gaps, gaps.gaps[gaps.picked])
        else:
            gaps.picked = moved(gaps.picked, key, len(gaps.gaps))

    def _correct(self, gaps: Gaps, gap: Gap) -> None:
        """Keep that a gap is a break, or is none, and read the piece anew."""
        journal, piece = self.companion.journal, gaps.course.times.piece
        if journal is None or self.companion.looking_on:
            gaps.said = LOOKING_ON
            return
        try:
            said = {"event": gap.event, "is_break": not gap.is_break}
            journal.append("break_corrected", said, pieces=piece)
            course = course_of(journal, piece)
        except JournalError as error:
            gaps.said = str(error)
            return
        self.gaps = gaps_of(course, keep={g.event for g in gaps.gaps})
        self.gaps.picked = gaps.picked
        assert self.detail is not None
        courses = [course if c.times.piece == piece else c for c in self.detail.courses]
        self._fill(self.detail, courses)
        self.companion.outlook.touch(piece)
        self.companion.outlook.renew()
        self.companion.read_times()

    # One pattern

    def _open(self, line: Line) -> None:
        self.detail = Detail(line)
        pieces = [
            times.piece
            for times in self.companion.outlook.pieces
            if times.pattern == line.pattern
            and (times.size or "", times.colourway or "") == (line.size, line.colourway)
        ]
        self.run_worker(
            partial(self._read, line, pieces[-LATEST:]),
            thread=True, exclusive=True, exit_on_error=False,
        )  # fmt: skip

    def _read(self, line: Line, pieces: Sequence[str]) -> None:
        """Read the latest pieces, in another thread and through a journal of its own."""
        worker, courses, said = get_current_worker(), list[Course](), ""
        assert self.companion.journal is not None
        try:
            with Journal.open(self.companion.journal.path, write=False) as reader:
                courses = [course_of(reader, p) for p in pieces if not worker.is_cancelled]
        except JournalError as error:
            said = str(error)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._was_read, line, courses[::-1], said)

    def _was_read(self, line: Line, courses: Sequence[Course], said: str) -> None:
        if self.detail is not None and self.detail.line == line:
            self.detail.reading, self.detail.said = False, said
            self._fill(self.detail, courses)
            self.redraw()

    def _fill(self, detail: Detail, courses: Sequence[Course]) -> None:
        detail.courses = courses
        timed = [c for c in courses if c.times.stages]
        detail.rows = row_times([c for c in reversed(timed) if c.cross_s])
        detail.of_pieces = sum(bool(c.cross_s) for c in timed)
        detail.stages = stage_lines(timed)
        detail.per_piece = len(timed)
        parts = [part for c in timed for part in c.times.stages.values()]
        if timed:
            detail.rework_s = sum(p.rework_s for p in parts) / len(timed)
            detail.break_s = sum(p.break_s for p in parts) / len(timed)

    def draw(self, width: int, height: int) -> Canvas:
        """Draw the depth that is open."""
        if self.gaps is not None:
            return draw_gaps(self.gaps, width, height, self.named)
        if self.detail is not None:
            return draw_detail(self.detail, width, height, self.named)
        return draw_times(self.times, width, height, self.named)


def moved(picked: int, key: str, count: int) -> int:
    """Where a key moves the pick in a list of so many lines."""
    steps = {"up": -1, "k": -1, "down": 1, "j": 1, "pageup": -10, "pagedown": 10}
    if key in {"home", "end"}:
        return 0 if key == "home" else max(0, count - 1)
    return max(0, min(count - 1, picked + steps.get(key, 0)))


def _value(record: PieceRecord, stages: Sequence[Stage]) -> float | None:
    """Seconds of a record for the stages that are shown, as they are forecast: rework included.

    None where they were not timed.
    """
    if stages == STAGES:
        return None if record.outcome == "given_up" else record.total_s
    known = {time.stage: time for time in record.stages}
    if stages[0] not in known:
        return None
    time = known[stages[0]]
    again = record.rework_s or 0.0 if time.stage == "braid" else 0.0
    return (time.seconds + again) * record.work.units(stages[0]) / time.units


def gaps_of(course: Course, keep: set[str] | None = None) -> Gaps:
    """A piece's breaks and its longest gaps, in order; or those of the given events."""
    if keep is None:
        longest = sorted(course.gaps, key=lambda gap: -gap.seconds)[:LONGEST]
        keep = {g.event for g in longest} | {
            g.event for g in course.gaps if g.is_break or g.corrected
        }
    shown = [gap for gap in course.gaps if gap.event in keep]
    return Gaps(course.times.title or course.times.pattern, course, shown)


def stage_lines(courses: Sequence[Course]) -> list[StageLine]:
    """Mean seconds of each stage over the pieces that have it timed, and shares of their sum."""
    found = []
    for stage in STAGES:
        timed = [
            (c.times.stages[stage].hands_on_s, c.times.units[stage], c.times.work.units(stage))
            for c in courses
            if stage in c.times.units and c.times.work is not None
        ]
        if timed:
            # A stage that was broken off stands for a whole one by the units that were done.
            unit_s = sum(s for s, _, _ in timed) / sum(units for _, units, _ in timed)
            whole = sum(units for _, _, units in timed) / len(timed)
            found.append((stage, unit_s * whole, unit_s, len(timed)))
    whole = sum(seconds for _, seconds, _, _ in found) or 1.0
    return [
        StageLine(stage, seconds, seconds / whole, unit_s, UNITS[stage], pieces)
        for stage, seconds, unit_s, pieces in found
    ]
