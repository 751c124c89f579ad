"""The maker's times as pictures: patterns, pieces over time, rows, stages, one piece's gaps."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from bench.pace.records import Stage
from bench.screens.kit.canvas import Canvas, clauses, wrap
from bench.screens.kit.foot import draw_foot
from bench.screens.kit.plot import Spot, bar, draw_spots
from bench.screens.kit.words import STAGE_WORDS
from bench.screens.lists.outlook import minutes
from bench.timing.piece_history import Course, Gap, RowTime

SHOWN = {"whole": "whole piece"} | {
    stage: f"{STAGE_WORDS[stage]} only" for stage in ("load", "set_up", "braid", "finish")
}
"""What the plot can be of."""
PAGES = ("rows", "stages", "pieces")


@dataclass(frozen=True)
class Line:
    """One pattern in one size and colourway: what its next piece is expected to take."""

    pattern: str
    size: str
    colourway: str
    title: str
    pieces: int
    low_s: float
    median_s: float
    high_s: float
    last: float | None
    """When the last one was finished, UTC seconds."""


@dataclass
class Times:
    """The list of patterns, and the plot of the one that is picked."""

    lines: Sequence[Line] = ()
    picked: int = 0
    shown: str = "whole"
    spots: list[Spot] = field(default_factory=list)
    basis: str = ""
    left_out: str = ""
    """Which finished pieces have no time, and why."""
    reading: bool = True
    said: str = ""


def draw_times(times: Times, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
    """Draw the list above, the plot below."""
    canvas = Canvas(width, height)
    canvas.text(1, 0, "YOUR TIMES", "bold")
    canvas.right(0, times.basis, end=width - 1)
    canvas.rule(1)
    if times.reading:
        canvas.text(1, 3, "reading the times of your pieces")
    elif not times.lines:
        none = (
            "No piece with times is finished yet."
            if times.left_out
            else "No piece is finished yet."
        )
        said = f"{none} Times are kept by themselves while you braid: finish a piece, and it stands"
        for y, line in enumerate(wrap(f"{said} here.", width - 2), 3):
            canvas.text(1, y, line)
    room = max(2, min(len(times.lines), (height - 8) // 2 - 1))
    if times.lines:
        _draw_lines(canvas, times, room)
        y = 4 + room
        draw_plot(canvas, y, height - 3 - y, times)
    draw_foot(
        canvas,
        (
            ("UP DOWN", "pattern", ""),
            ("LEFT RIGHT", "stage", "right"),
            ("ENTER", "more", "enter"),
            ("L", "back", "l"),
        ),
        times.said or times.left_out,
        named,
    )
    return canvas


def _draw_lines(canvas: Canvas, times: Times, room: int) -> None:
    width = canvas.width
    column = max(16, width - 46)
    heads = (("pattern", 3), ("made", column), ("next piece", column + 7))
    for head, x in heads:
        canvas.text(x, 2, head, "dim")
    canvas.text(column + 19, 2, "8 in 10 between", "dim")
    canvas.text(width - 7, 2, "last", "dim")
    first = max(0, min(times.picked - room // 2, len(times.lines) - room))
    for y, number in enumerate(range(first, min(first + room, len(times.lines))), 3):
        line = times.lines[number]
        style = "picked" if number == times.picked else ""
        if style:
            canvas.fill(0, y, width, 1, style)
        canvas.text(1, y, "▶" if style else " ", style)
        name = ", ".join(part for part in (line.title, line.size, line.colourway) if part)
        canvas.text(3, y, name, style or "bold", column - 4)
        canvas.right(y, f"{line.pieces:,}", style, column + 4)
        canvas.text(column + 7, y, minutes(line.median_s), style)
        between = f"{minutes(line.low_s)} to {minutes(line.high_s)}"
        canvas.text(column + 19, y, between, style)
        if line.last is not None:
            canvas.text(width - 7, y, f"{day(line.last):%d %b}", style)
        canvas.zone(0, y, width, 1, f"row {number}")


def draw_plot(canvas: Canvas, y: int, height: int, times: Times) -> None:
    """Draw the plot with its heading."""
    what = SHOWN[times.shown]
    again = canvas.width >= 76 and times.shown in {"whole", "braid"}
    canvas.rule(y)
    canvas.text(
        1, y, f" MINUTES, {what.upper()}, {'WITH REWORK' if again else 'BY PIECE'} ", "bold"
    )
    legend = " ● good ○ second × given up  · 8 in 10 "
    if canvas.width < 76:
        legend = " ●○× pieces  · 8 in 10 "
    canvas.right(y, legend, end=canvas.width - 1)
    known = [spot for spot in times.spots if spot.value is not None]
    if not known:
        canvas.text(3, y + 2, f"No piece of this has its {what} timed: LEFT RIGHT shows another.")
        return
    draw_spots(canvas, 0, y + 1, canvas.width - 1, height - 1, times.spots)


@dataclass
class Detail:
    """The pages of one pattern: rows, stages, pieces."""

    line: Line
    page: str = "rows"
    rows: Sequence[RowTime] = ()
    of_pieces: int = 0
    stages: Sequence[StageLine] = ()
    rework_s: float = 0.0
    break_s: float = 0.0
    per_piece: int = 0
    courses: Sequence[Course] = ()
    """The latest pieces, newest first."""
    picked: int = 0
    reading: bool = True
    said: str = ""


@dataclass(frozen=True)
class StageLine:
    """One stage over the latest pieces: seconds in a piece, its share, seconds per unit."""

    stage: Stage
    seconds: float
    share: float
    unit_s: float
    unit: str
    pieces: int


def draw_detail(
    detail: Detail, width: int, height: int, named: Callable[[str], str] = str
) -> Canvas:
    """Draw one page of a pattern."""
    canvas = Canvas(width, height)
    line = detail.line
    title = ", ".join(part for part in (line.title, line.size, line.colourway) if part)
    end = canvas.text(1, 0, title.upper(), "bold", width - 34)
    x = max(end + 3, width - 30)
    for page in PAGES:
        here = page == detail.page
        text = f" {page} "
        canvas.zone(x, 0, len(text), 1, f"page {page}")
        x = canvas.text(x, 0, text, "picked" if here else "") + 1
    canvas.rule(1)
    room = height - 5
    if detail.reading:
        canvas.text(1, 3, "reading the latest pieces")
    elif detail.page == "rows":
        _draw_rows(canvas, detail, 2, room)
    elif detail.page == "stages":
        _draw_stages(canvas, detail, 3)
    else:
        _draw_pieces(canvas, detail, 2, room)
    keys = [("LEFT RIGHT", "page", "right")]
    if detail.page == "pieces":
        keys += [("UP DOWN", "piece", ""), ("ENTER", "gaps", "enter"), ("M", "measure", "m")]
    draw_foot(canvas, (*keys, ("L", "back", "l")), detail.said, named)
    return canvas


def _draw_rows(canvas: Canvas, detail: Detail, y: int, room: int) -> None:
    """Seconds per cross by row; where there are more rows than lines, some together."""
    rows = [row for row in detail.rows if row.row]
    plain = [row.seconds for row in detail.rows if not row.row]
    if not rows and not plain:
        canvas.text(1, y + 1, "No crosses of this pattern were timed yet.")
        return
    pieces = "the piece" if detail.of_pieces == 1 else f"the last {detail.of_pieces:,} pieces"
    end = canvas.text(1, y, f"SECONDS A CROSS BY ROW, middle of {pieces}", "bold")
    if plain and end + 18 < canvas.width:
        canvas.right(y, f"plain crosses {sum(plain) / len(plain):.0f} s", end=canvas.width - 1)
    if not rows:
        return
    each = -(-len(rows) // max(1, room - 1))
    groups = [rows[k : k + each] for k in range(0, len(rows), each)]
    means = [sum(r.seconds for r in group) / len(group) for group in groups]
    most, slowest = max(means), max(range(len(means)), key=means.__getitem__)
    for number, (group, mean) in enumerate(zip(groups, means, strict=True), 1):
        beads = "".join(sorted({b for r in group for b in r.beads}))
        canvas.right(y + number, _row_name(group), "", 14)
        canvas.text(15, y + number, beads, "bead", 5)
        canvas.right(y + number, f"{mean:.0f} s", "bold", 26)
        style = "warn" if number - 1 == slowest else "call"
        end = canvas.text(27, y + number, bar(mean / most, canvas.width - 38), style)
        if number - 1 == slowest:
            canvas.text(end + 1, y + number, "slowest", "warn")


def _row_name(group: Sequence[RowTime]) -> str:
    first, last = group[0].row, group[-1].row
    return f"row {first}" if first == last else f"{first} to {last}"


def _draw_stages(canvas: Canvas, detail: Detail, y: int) -> None:
    if not detail.stages:
        canvas.text(1, y, "No stage of this pattern was timed yet.")
        return
    canvas.text(1, y - 1, "WHERE THE TIME GOES", "bold")
    room = max(8, canvas.width - 56)
    for part in detail.stages:
        canvas.text(1, y + 1, STAGE_WORDS[part.stage], "bold")
        canvas.right(y + 1, minutes(part.seconds), "", 20)
        canvas.right(y + 1, f"{100 * part.share:.0f} %", "", 27)
        canvas.text(28, y + 1, bar(part.share, room), "call")
        x = canvas.width - 27
        canvas.text(x, y + 1, f"{part.unit_s:.1f} s {part.unit}", "", 18)
        canvas.right(y + 1, f"{part.pieces} timed", end=canvas.width - 1)
        y += 2
    few = canvas.height < 23
    y += 1 if few else 2
    canvas.text(1, y, "beside it, in a piece (not in the times above):", "bold")
    for name, seconds, what in (
        ("rework", detail.rework_s, "crosses taken back and made again, mends"),
        ("breaks", detail.break_s, "found from your own rhythm; page 'pieces' puts one right"),
    ):
        canvas.text(1, y + 1, f"{name}  {_short(seconds)}", "", 22)
        for line in wrap(what, canvas.width - 25):
            y += 1
            canvas.text(24, y, line)
    if not few:
        last = detail.per_piece
        whose = "Times of the one piece" if last == 1 else f"Means of the last {last} pieces"
        canvas.text(1, y + 2, f"{whose}; stages that were not timed are left out.")


def _short(seconds: float) -> str:
    return "none" if seconds < 1 else f"{seconds:.0f} s" if seconds < 60 else minutes(seconds)


def _draw_pieces(canvas: Canvas, detail: Detail, y: int, room: int) -> None:
    wide = canvas.width >= 76
    day_x, time_x, rework_x, break_x = (29, 42, 53, 63) if wide else (22, 30, 41, 49)
    heads = (("piece", 3), ("finished", day_x), ("hands-on", time_x), ("rework", rework_x))
    for head, x in (*heads, ("breaks", break_x)):
        canvas.text(x, y, head, "dim")
    lines = room - 1
    first = max(0, min(detail.picked - lines // 2, len(detail.courses) - lines))
    for row, course in enumerate(detail.courses[first : first + lines], y + 1):
        number = first + row - y - 1
        times = course.times
        style = "picked" if number == detail.picked else ""
        if style:
            canvas.fill(0, row, canvas.width, 1, style)
        canvas.text(1, row, "▶" if style else " ", style)
        canvas.text(3, row, times.title or times.pattern, style or "bold", day_x - 4)
        if times.finished_at is not None:
            finished = day(times.finished_at)
            canvas.text(day_x, row, f"{finished:%d %b %Y}" if wide else f"{finished:%d %b}", style)
        part = "" if times.whole or times.recorded else "*"
        canvas.text(time_x, row, minutes(times.hands_on_s) + part, style)
        rework = sum(stage.rework_s for stage in times.stages.values())
        typed = times.rework_s if times.recorded else rework
        canvas.text(rework_x, row, "–" if typed is None else _short(typed), style)
        breaks = sum(gap.is_break for gap in course.gaps)
        canvas.text(break_x, row, str(breaks) if breaks else "none", style)
        if times.status != "good":
            canvas.text(break_x + 6, row, times.status, style or "warn", canvas.width - break_x - 6)
        canvas.zone(0, row, canvas.width, 1, f"row {number}")
    if any(not (c.times.whole or c.times.recorded) for c in detail.courses):
        canvas.text(1, y + room, "* some stage was not timed", "", canvas.width - 2)


@dataclass
class Gaps:
    """The longest gaps of one piece, in order; each is work or a break."""

    title: str
    course: Course
    gaps: Sequence[Gap]
    picked: int = 0
    said: str = ""


def draw_gaps(gaps: Gaps, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
    """Draw a piece's gaps; Enter turns the picked one from break to work and back."""
    canvas = Canvas(width, height)
    times = gaps.course.times
    canvas.text(1, 0, f"{gaps.title.upper()}: BREAKS AND LONG GAPS", "bold", width - 2)
    canvas.rule(1)
    parts = [f"{STAGE_WORDS[s]} {minutes(f.hands_on_s)}" for s, f in times.stages.items()]
    rework = sum(f.rework_s for f in times.stages.values())
    breaks = sum(f.break_s for f in times.stages.values())
    said = f"hands-on {minutes(times.hands_on_s)}: {', '.join(parts)}"
    canvas.text(1, 2, clauses(said, width - 2), "", width - 2)
    waiting = "" if times.waiting_s is None else f"   drying {minutes(times.waiting_s)}"
    canvas.text(1, 3, f"apart: rework {_short(rework)}   breaks {_short(breaks)}{waiting}", "")
    if not gaps.gaps:
        canvas.text(1, 5, "No gap of this piece is known.")
    room = height - 9
    first = max(0, min(gaps.picked - room // 2, len(gaps.gaps) - room))
    longest = max((gap.seconds for gap in gaps.gaps), default=1.0)
    for y, gap in enumerate(gaps.gaps[first : first + room], 5):
        number = first + y - 5
        style = "picked" if number == gaps.picked else ""
        if style:
            canvas.fill(0, y, width, 1, style)
        canvas.text(1, y, "▶" if style else " ", style)
        zone = dt.timezone(dt.timedelta(minutes=gap.offset_min))
        began = dt.datetime.fromtimestamp(gap.wall - gap.seconds, zone)
        canvas.text(3, y, f"{began:%d %b %H:%M}", style)
        where = STAGE_WORDS[gap.stage]
        if gap.stage == "braid":
            where += f", before cross {gap.cross}" if gap.cross else ""
        canvas.text(17, y, where, style, 26)
        canvas.right(y, _clock(gap.seconds), style, 52)
        said = "BREAK" if gap.is_break else "work"
        canvas.text(54, y, said, style or ("warn" if gap.is_break else ""))
        if gap.corrected:
            canvas.text(60, y, "you said", style)
        room_x = width - 70
        if room_x > 3:
            canvas.text(69, y, bar(gap.seconds / longest, room_x), style or "call")
        canvas.zone(0, y, width, 1, f"row {number}")
    draw_foot(
        canvas,
        (("UP DOWN", "gap", ""), ("ENTER", "break or work", "enter"), ("L", "back", "l")),
        gaps.said,
        named,
    )
    return canvas


def _clock(seconds: float) -> str:
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60}:{whole % 60:02d} min"
    return f"{whole // 3600} h {whole // 60 % 60:02d} min"


def day(wall: float) -> dt.datetime:
    """Local time of UTC seconds."""
    return dt.datetime.fromtimestamp(wall).astimezone()
