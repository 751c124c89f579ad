"""The pages of one pattern's times: its rows, its stages, its pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from textual.geometry import Size

from bench.craft.words import duration, plural
from bench.journal.errors import JournalError
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from bench.making.piece_verdicts import mark_trial
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import WIDE, draw_foot
from bench.screens.kit.help_page import Lines
from bench.screens.kit.list_screen import ListMode
from bench.screens.kit.picking import draw_list, moved, turned
from bench.screens.kit.plot import bar
from bench.screens.kit.words import STAGE_WORDS
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.pace_figures import PatternTimes, StageShare, stage_shares
from bench.screens.lists.pace_words import local_day, short_time
from bench.screens.lists.pattern_in_short import InShort, draw_in_short
from bench.timing.piece_history import Course, RowTime, course_of, row_times

PAGES = ("in short", "rows", "stages", "pieces")
PATTERN_HELP: Lines = (
    ("LEFT RIGHT", "the pages: in short, rows, stages, pieces"),
    ("UP DOWN", "on the pieces: choose one"),
    ("ENTER", "on the pieces: the gaps of that one, and which count as breaks"),
    ("M", "on the pieces: measure that one again; the sample is signed off there too"),
    ("A", "on the pieces: take that one in hand again, though it was finished or given up"),
    ("I", "on the pieces: the notes and measures of that one, and what can be taken back"),
    ("C", "on the pieces: it was only tried out and counts for nothing, or it was not"),
    ("L", "back to all patterns"),
)
LEAST_ROWS = 10
"""Lines from which on the rows are drawn below what is told in short."""
LOST = "How this piece began is lost from the journal."
AT_THE_BENCH = "Only a piece that was made at the bench can be {}."


@dataclass
class PatternPages(ListMode):
    """What the latest pieces of a pattern took. Filled once they are read."""

    companion: ListsCompanion
    open_gaps: Callable[[Course], None]
    leave: Callable[[], object]
    line: PatternTimes
    in_short: InShort | None = None
    page: str = "in short"
    rows: Sequence[RowTime] = ()
    of_pieces: int = 0
    """From how many pieces the rows are."""
    stages: Sequence[StageShare] = ()
    rework_s: float = 0.0
    break_s: float = 0.0
    per_piece: int = 0
    """From how many pieces stages, rework and breaks are."""
    courses: Sequence[Course] = ()
    """The latest pieces, newest first."""
    picked: int = 0
    reading: bool = True
    said: str = ""

    help = PATTERN_HELP

    def fill(
        self, courses: Sequence[Course], reasons: Sequence[tuple[str, int]] | None = None
    ) -> None:
        """Take in the latest pieces, newest first, and why any were seconds or given up.

        reasons: for each how many; None leaves those that are known.
        """
        self.reading, self.courses = False, courses
        timed = [c for c in courses if c.times.stages]
        self.rows = row_times([c for c in reversed(timed) if c.cross_s])
        self.of_pieces = sum(bool(c.cross_s) for c in timed)
        self.stages = stage_shares(timed)
        self.per_piece = len(timed)
        parts = [part for c in timed for part in c.times.stages.values()]
        if timed:
            self.rework_s = sum(p.rework_s for p in parts) / len(timed)
            self.break_s = sum(p.break_s for p in parts) / len(timed)
        if self.in_short is not None:
            known = self.in_short.reasons if reasons is None else reasons
            self.in_short = replace(
                self.in_short, rows=self.rows, stages=self.stages, reasons=known
            )

    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for."""
        self.said = ""
        if action in {"leave", "back"}:
            self.leave()
        elif action in {"left", "right"}:
            self.page = PAGES[turned(PAGES.index(self.page), action, len(PAGES))]
        elif self.page != "pieces" or not self.courses:
            return
        elif action == "open":
            self.open_gaps(self.courses[self.picked])
        elif action == "measure":
            self._take(self.courses[self.picked], "measured again", self._measure)
        elif action == "trial":
            self._take(self.courses[self.picked], "marked as a trial", self._try_out)
        elif action == "reopen":
            self._take(self.courses[self.picked], "taken in hand again", self._reopen)
        elif action == "piece":
            self._take(self.courses[self.picked], "shown", self._show)
        else:
            self.picked = moved(self.picked, action, len(self.courses))

    def touch(self, kind: str, which: str, size: Size) -> None:
        """Turn to the page, or pick the piece, that is touched."""
        if kind == "page":
            self.page = which
        else:
            super().touch(kind, which, size)

    def _take(self, course: Course, what: str, do: Callable[[Braid], str]) -> None:
        """Do something with a piece of the bench, or say why it cannot be done."""
        journal = self.companion.journal
        if self.companion.cannot_write or journal is None:
            self.said = self.companion.cannot_write
        elif course.times.recorded:
            self.said = AT_THE_BENCH.format(what)
        else:
            try:
                self.said = do(Braid(journal, course.times.piece))
            except (JournalError, NotNow) as error:
                self.said = str(error)
            except KeyError:
                self.said = LOST

    def _measure(self, braid: Braid) -> str:
        """Measure a finished piece once more; the sample can be signed off there."""
        if braid.state.status == "given up":
            return "A piece that was given up is not measured."
        self.companion.measure(braid)
        return ""

    def _show(self, braid: Braid) -> str:
        """Show a piece's notes and measures, and what can be taken back."""
        self.companion.show_piece(braid.piece)
        return ""

    def _reopen(self, braid: Braid) -> str:
        """Take a piece in hand again, where it was left; going on starts at the bench."""
        braid.reopen()
        self.companion.to_bench(braid)
        return ""

    def _try_out(self, braid: Braid) -> str:
        """Mark a piece as only tried out, or as made after all."""
        mark_trial(braid.journal, braid.piece, trial=not braid.state.trial)
        course = course_of(braid.journal, braid.piece)
        self.fill([course if c.times.piece == braid.piece else c for c in self.courses])
        self.companion.pace.touch(braid.piece)
        self.companion.pace.renew()
        self.companion.read_times()
        if braid.state.trial:
            return f"{braid.state.title} is a trial: it counts for nothing."
        return f"{braid.state.title} counts again."

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the page that is open."""
        canvas = Canvas(width, height)
        end = canvas.text(1, 0, self.line.name.upper(), "bold", width - 42)
        x = max(end + 3, width - sum(len(page) + 3 for page in PAGES))
        for page in PAGES:
            text = f" {page} "
            canvas.zone(x, 0, len(text), 1, f"page {page}")
            x = canvas.text(x, 0, text, "picked" if page == self.page else "") + 1
        canvas.rule(1)
        if self.reading:
            canvas.text(1, 3, "reading the latest pieces")
        elif self.page == "in short":
            if self.in_short is not None:
                y = draw_in_short(canvas, 2, height - 5, self.in_short)
                if height - 3 - y >= LEAST_ROWS and self.rows:
                    self._draw_rows(canvas, y, height - 3 - y)
        elif self.page == "rows":
            self._draw_rows(canvas, 2, height - 5)
        elif self.page == "stages":
            self._draw_stages(canvas, 3)
        else:
            self._draw_pieces(canvas, 2, height - 5)
        keys = [("LEFT RIGHT", "page", "")]
        if self.page == "pieces":
            keys += [("UP DOWN", "piece", ""), ("ENTER", "gaps", "open")]
            keys += [("M", "measure", "measure"), ("A", "in hand", "reopen")]
            keys += [("I", "its page", "piece")] if width >= WIDE else []
            keys += [("C", "trial", "trial")] if width >= WIDE else []
        draw_foot(canvas, (*keys, ("L", "back", "leave")), self.said, named)
        return canvas

    def _draw_rows(self, canvas: Canvas, y: int, room: int) -> None:
        """Seconds per cross by row; where there are more rows than lines, some together."""
        rows = [row for row in self.rows if row.row]
        plain = [row.seconds for row in self.rows if not row.row]
        if not rows and not plain:
            self._draw_untimed(canvas, y + 1, "No cross")
            return
        pieces = "the piece" if self.of_pieces == 1 else f"the last {self.of_pieces:,} pieces"
        end = canvas.text(1, y, f"SECONDS A CROSS BY ROW, middle of {pieces}", "bold")
        if plain and end + 18 < canvas.width:
            said = f"plain crosses {sum(plain) / len(plain):.0f} s"
            canvas.right(y, said, end=canvas.width - 1)
        if not rows:
            return
        each = -(-len(rows) // max(1, room - 1))
        groups = [rows[k : k + each] for k in range(0, len(rows), each)]
        means = [sum(r.seconds for r in group) / len(group) for group in groups]
        most, slowest = max(means), max(range(len(means)), key=means.__getitem__)
        for number, (group, mean) in enumerate(zip(groups, means, strict=True)):
            y += 1
            first, last = group[0].row, group[-1].row
            canvas.right(y, f"row {first}" if first == last else f"{first} to {last}", "", 14)
            beads = "".join(sorted({bead for row in group for bead in row.beads}))
            canvas.text(15, y, beads, "bead", 5)
            canvas.right(y, f"{mean:.0f} s", "bold", 26)
            style = "warn" if number == slowest else "call"
            end = canvas.text(27, y, bar(mean / most, canvas.width - 38), style)
            if number == slowest:
                canvas.text(end + 1, y, "slowest", "warn")

    def _draw_untimed(self, canvas: Canvas, y: int, what: str) -> None:
        """Say that no such part was timed, and what is known all the same."""
        known = self.in_short.summary.timed if self.in_short is not None else 0
        said = f"{what} of this pattern was timed yet."
        if known:
            said += f" Of {plural(known, 'piece')} the whole time is known: page 'in short'."
        for number, line in enumerate(wrap(said, canvas.width - 2)):
            canvas.text(1, y + number, line)

    def _draw_stages(self, canvas: Canvas, y: int) -> None:
        if not self.stages:
            self._draw_untimed(canvas, y, "No stage")
            return
        canvas.text(1, y - 1, "WHERE THE TIME GOES", "bold")
        room = max(8, canvas.width - 56)
        for part in self.stages:
            canvas.text(1, y + 1, STAGE_WORDS[part.stage], "bold")
            canvas.right(y + 1, duration(part.seconds), "", 20)
            canvas.right(y + 1, f"{100 * part.share:.0f} %", "", 27)
            canvas.text(28, y + 1, bar(part.share, room), "call")
            canvas.text(canvas.width - 27, y + 1, f"{part.unit_s:.1f} s {part.unit}", "", 18)
            canvas.right(y + 1, f"{part.pieces} timed", end=canvas.width - 1)
            y += 2
        few = canvas.height < 23
        y += 1 if few else 2
        canvas.text(1, y, "beside it, in a piece (not in the times above):", "bold")
        for name, seconds, what in (
            ("rework", self.rework_s, "crosses taken back and made again, mends"),
            ("breaks", self.break_s, "found from your own rhythm; page 'pieces' puts one right"),
        ):
            canvas.text(1, y + 1, f"{name}  {short_time(seconds)}", "", 22)
            for line in wrap(what, canvas.width - 25):
                y += 1
                canvas.text(24, y, line)
        if not few:
            many = f"Means of the last {self.per_piece} pieces"
            whose = "Times of the one piece" if self.per_piece == 1 else many
            canvas.text(1, y + 2, f"{whose}; stages that were not timed are left out.")

    def _draw_pieces(self, canvas: Canvas, y: int, room: int) -> None:
        wide = canvas.width >= 76
        columns = PieceColumns(29, 42, 53, 63) if wide else PieceColumns(22, 30, 41, 49)
        for head, x in (
            *(("piece", 3), ("finished", columns.day), ("hands-on", columns.time)),
            *(("rework", columns.rework), ("breaks", columns.breaks)),
        ):
            canvas.text(x, y, head, "dim")

        def draw_line(number: int, y: int, style: str) -> None:
            _draw_piece(canvas, y, self.courses[number], columns, style)

        draw_list(canvas, y + 1, room - 1, len(self.courses), self.picked, draw_line)
        if any(not (c.times.whole or c.times.recorded) for c in self.courses):
            canvas.text(1, y + room, "* some stage was not timed", "", canvas.width - 2)


@dataclass(frozen=True)
class PieceColumns:
    """Where the columns of the list of pieces begin."""

    day: int
    time: int
    rework: int
    breaks: int


def _draw_piece(canvas: Canvas, y: int, course: Course, at: PieceColumns, style: str) -> None:
    times = course.times
    canvas.text(3, y, times.title or times.pattern, style or "bold", at.day - 4)
    if times.finished_at is not None:
        finished = local_day(times.finished_at)
        wide = canvas.width >= 76
        canvas.text(at.day, y, f"{finished:%d %b %Y}" if wide else f"{finished:%d %b}", style)
    part = "" if times.whole or times.recorded else "*"
    canvas.text(at.time, y, duration(times.hands_on_s) + part, style)
    timed = sum(stage.rework_s for stage in times.stages.values())
    rework = times.rework_s if times.recorded else timed
    canvas.text(at.rework, y, "–" if rework is None else short_time(rework), style)
    breaks = sum(gap.is_break for gap in course.gaps)
    canvas.text(at.breaks, y, str(breaks) if breaks else "none", style)
    status = "trial" if times.trial else "too fast" if times.too_fast else times.status
    if status != "good":
        room = canvas.width - at.breaks - 6
        canvas.text(at.breaks + 6, y, status, style or "warn", room)
