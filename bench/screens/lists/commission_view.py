"""A commission as pictures: its lots, the time at hand, what it needs, what it took."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from bench.answers.needs import NeedsAnswer
from bench.commission.closing import closing
from bench.commission.materials import Materials
from bench.commission.progress import CommissionProgress, LotProgress
from bench.documents.settings import WorkSettings
from bench.journal.clock import Moment
from bench.journal.state import PieceState
from bench.pace.spread import Forecast
from bench.pace.what_fits import Fit
from bench.screens.kit.canvas import Canvas, clauses, wrap
from bench.screens.kit.foot import draw_foot
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.plot import bar
from bench.screens.kit.words import STAGE_WORDS, plural
from bench.screens.lists.outlook import minutes
from bench.sheets.preparation import needs_lines

PAGES = ("lots", "time", "needs", "closing")
BEGINNINGS = {"braid": "braiding", "load": "loading", "set_up": "setting up"}
READING = "Hours and counts are those of before; they are read anew."
FAR_DAYS = 300
LIKELY = 0.5


@dataclass
class CommissionBoard:
    """What the commission screen shows."""

    title: str
    now: Moment
    work: WorkSettings
    settings_file: str = "settings.toml"
    page: str = "lots"
    picked: int = 0
    begin: str = "braid"
    in_hand: PieceState | None = None
    """The piece of the picked lot that is in the making, if any."""
    next_number: int = 1
    """The number of the piece of the picked lot that is begun next."""
    reading: bool = False
    """Whether what is shown is read anew: a piece may have been made since."""
    progress: CommissionProgress | None = None
    materials: Materials | None = None
    at_hand_s: float = 8100.0
    fit: Fit | None = None
    needs: NeedsAnswer | None = None
    notes: Sequence[str] = ()
    scroll: int = 0
    said: str = ""
    trouble: str = ""


def draw_commission(
    board: CommissionBoard, width: int, height: int, named: Callable[[str], str] = str
) -> Canvas:
    """Draw the page that is open."""
    canvas = Canvas(width, height)
    tabs = [f" {number} {page} " for number, page in enumerate(PAGES, 1)]
    x = width - 1 - sum(map(len, tabs))
    beside = cell_len(board.title) <= x - 3
    canvas.text(1, 0, board.title.upper(), "bold", x - 3 if beside else width - 2)
    canvas.rule(1)
    for number, (page, tab) in enumerate(zip(PAGES, tabs, strict=True), 1):
        y = 0 if beside else 1
        canvas.zone(x, y, len(tab), 1, str(number))
        x = canvas.text(x, y, tab, "picked" if page == board.page else "")
    keys: list[tuple[str, str, str]] = []
    if board.progress is None:
        said = board.trouble or "reading how the commission stands"
        for y, line in enumerate(wrap(said, width - 2), 3):
            canvas.text(1, y, line, "warn" if board.trouble else "", width - 2)
    elif board.page == "lots":
        _draw_lots(canvas, board, board.progress, named)
        keys = [("ENTER", "next piece", "enter"), ("W", "begin", "w"), ("UP DOWN", "lot", "")]
        if board.in_hand is not None:
            keys = [("ENTER", "go on", "enter"), ("N", "new", "n"), *keys[1:]]
    elif board.page == "time":
        _draw_time(canvas, board)
        keys = [("LEFT", "less", "left"), ("RIGHT", "more time", "right")]
    elif board.page == "needs":
        _draw_needs(canvas, board)
        keys = [("UP DOWN", "scroll", "")]
    else:
        _draw_closing(canvas, board, board.progress)
    said = board.said or (READING if board.reading and board.progress is not None else "")
    draw_foot(canvas, (*keys, ("1-4", "page", "tab"), ("L", "back", "l")), said, named)
    return canvas


def _draw_lots(
    canvas: Canvas, board: CommissionBoard, found: CommissionProgress, named: Callable[[str], str]
) -> None:
    width = canvas.width
    wide = width >= 76
    name = width - 57 if wide else width - 36
    x = name + 1
    heads = [(x, "made"), (x + 7, "begun")]
    if wide:
        heads += [(x + 13, "hours to come"), (x + 30, "done by"), (x + 39, "due"), (x + 46, "late")]
    else:
        heads += [(x + 13, "hours"), (x + 20, "done by"), (x + 28, "late")]
    canvas.text(3, 2, "lot", "dim")
    for at, head in heads:
        canvas.text(at, 2, head, "dim")
    room = max(1, canvas.height - (13 if board.in_hand is None else 14))
    shown = min(room, len(found.lots))
    first = max(0, min(board.picked - shown // 2, len(found.lots) - shown))
    for y, number in enumerate(range(first, first + shown), 3):
        lot = found.lots[number]
        style = "picked" if number == board.picked else ""
        if style:
            canvas.fill(0, y, width, 1, style)
        canvas.text(1, y, "▶" if style else " ", style)
        canvas.text(3, y, lot.order.lot.name, style or "bold", name - 3)
        canvas.text(x, y, f"{len(lot.good)}/{lot.order.lot.pieces}", style)
        canvas.text(x + 7, y, str(len(lot.making)) if lot.making else "–", style)
        _draw_lot(canvas, x, y, lot, board, style, wide)
        canvas.zone(0, y, width, 1, f"row {number}")
    y = 3 + shown
    if shown < len(found.lots):
        canvas.right(2, f"lots {first + 1} to {first + shown} of {len(found.lots)}", end=width - 1)
    canvas.rule(y)
    _draw_sum(canvas, y + 1, board, found)
    for line, text in enumerate(reversed(_choices(board, found.lots[board.picked], named))):
        canvas.text(1, canvas.height - 4 - line, text, "", width - 2)


def _choices(board: CommissionBoard, lot: LotProgress, named: Callable[[str], str]) -> list[str]:
    """What the keys do with the picked lot: go on with its piece, begin the next one."""
    again = "" if lot.to_make else " (all are made or begun: this is one more)"
    new = f"begins piece {board.next_number} of this lot with {BEGINNINGS[board.begin]}{again}"
    state = board.in_hand
    if state is None:
        return [f"{named('ENTER')} {new}"]
    made = f", {plural(state.made, 'cross')} made" if state.made else ""
    stage = "it waits" if state.stage is None else STAGE_WORDS[state.stage]
    return [f"{named('ENTER')} goes on with {state.title}: {stage}{made}", f"{named('N')} {new}"]


def _draw_lot(
    canvas: Canvas, x: int, y: int, lot: LotProgress, board: CommissionBoard, style: str, wide: bool
) -> None:
    to_do = lot.to_make or lot.making
    low, middle, high = (hours(lot.to_come.quantile(p)) for p in (0.1, 0.5, 0.9))
    by = "" if lot.done_by is None else date(board.now, lot.done_by.median_days)
    due = lot.order.lot.due
    late = "" if lot.late is None else f"{100 * lot.late:.0f} %"
    is_late = lot.late is not None and lot.late >= LIKELY
    if is_late:
        late = f"LATE {late}"
    if wide:
        canvas.text(x + 13, y, f"{middle} ({low}–{high})" if to_do else "done", style, 16)
        canvas.text(x + 30, y, by, style)
        canvas.text(x + 39, y, "" if due is None else f"{due:%d %b}", style)
        canvas.text(x + 46, y, late, style or ("warn" if is_late else ""))
    else:
        canvas.text(x + 13, y, middle if to_do else "done", style)
        canvas.text(x + 20, y, by, style)
        canvas.text(x + 28, y, late.replace("LATE ", "!"), style or ("warn" if is_late else ""))


def _draw_sum(canvas: Canvas, y: int, board: CommissionBoard, found: CommissionProgress) -> None:
    room = canvas.width - 12
    total = closing(found)
    good = sum(lot.order.lot.pieces for lot in found.lots)
    spoilt = " and ".join(
        text
        for text, count in (
            (plural(total.seconds, "second"), total.seconds),
            (f"{total.given_up} given up", total.given_up),
        )
        if count
    )
    made = f"{total.good} of {good} pieces good in {hours(found.done_s)} h"
    lines = [("so far", f"{made}; {spoilt} beside them" if spoilt else made)]
    if found.finish is None:
        lines.append(("to come", "nothing: every lot has its pieces"))
    else:
        said = f"{_between(found.to_come)} h, spoilt pieces allowed for"
        parts = sum(round(lot.to_come.quantile(0.5) / 3600, 1) for lot in found.lots)
        if abs(parts - found.to_come.quantile(0.5) / 3600) >= 0.05:
            said += "; the lots' hours are middles and need not add up to it"
        lines.append(("to come", said))
        ends = [
            date(board.now, days)
            for days in (found.finish.low_days, found.finish.median_days, found.finish.high_days)
        ]
        week = f"{board.work.hours_per_week:g} h a week"
        said = f"{ends[1]} at {week}, 8 in 10 between {ends[0]} and {ends[2]}"
        lines.append(("finish", said))
    lines.append(("price", price_words(board, found)))
    lines += [("besides", note) for note in board.notes]
    spare = canvas.height - (4 if board.in_hand is None else 5) - y - len(lines)
    if spare < 0:
        del lines[spare:]
    for head, text in lines:
        canvas.text(1, y, head, "bold")
        broken = wrap(text, room)
        if len(broken) - 1 > spare:
            broken = [clauses(text, room + 1)]
        spare -= len(broken) - 1
        for line in broken:
            canvas.text(10, y, line, "", room + 1)
            y += 1


def _between(found: Forecast) -> str:
    low, middle, high = (hours(found.quantile(p)) for p in (0.1, 0.5, 0.9))
    return f"{middle} h, 8 in 10 between {low} and {high}"


def price_words(board: CommissionBoard, found: CommissionProgress) -> str:
    """What to charge, and what is in it."""
    work = board.work
    if found.price is None:
        return f"set hourly_rate under [work], in {board.settings_file}"
    parts = [f"{work.hourly_rate:g} an hour"]
    if board.materials is None:
        parts.append("materials not known")
    elif found.materials is None:
        parts.append(f"materials apart, {board.materials.amount:.0f} {board.materials.currency}")
    else:
        some = " (not all priced)" if board.materials.unpriced else ""
        parts.append(f"materials {board.materials.amount:.0f}{some}")
    if work.margin:
        parts.append(f"margin {100 * work.margin:g} %")
    price = found.price
    return (
        f"{price.median:,.0f} {work.currency} ({price.low:,.0f} to {price.high:,.0f}):"
        f" {', '.join(parts)}"
    )


def _draw_time(canvas: Canvas, board: CommissionBoard) -> None:
    canvas.text(1, 3, "YOU HAVE", "bold")
    whole = round(board.at_hand_s / 60)
    end = big(canvas, 11, 3, f"{whole // 60}:{whole % 60:02d}", "call")
    if board.fit is None:
        canvas.text(end + 4, 3, "working it out")
        return
    fit = board.fit
    text = "no piece gets finished"
    if fit.finished:
        text = f"{plural(len(fit.finished), 'piece')} will be finished"
    canvas.text(end + 4, 3, text, "bold", canvas.width - end - 5)
    lines = wrap(", ".join(fit.finished), canvas.width - end - 5)[:2]
    for number, line in enumerate(lines, 4):
        canvas.text(end + 4, number, line)
    canvas.text(end + 4, 3 + HEIGHT - 1, "with 8 chances in 10", "", canvas.width - end - 5)
    y = 4 + HEIGHT
    canvas.text(1, y, "from", "dim")
    canvas.text(9, y, "to", "dim")
    canvas.text(17, y, "what, in this order", "dim")
    clock = 0.0
    rows: list[tuple[str, str, str, str]] = []
    for step in fit.steps:
        if step.start_s - clock > 60:
            rows.append((_clock(clock), _clock(step.start_s), "wait", "until it is dry"))
        rows.append((_clock(step.start_s), _clock(step.end_s), STAGE_WORDS[step.stage], step.name))
        clock = step.end_s
    room = canvas.height - 3 - y - 1
    if len(rows) > room:
        more = len(rows) - room + 1
        rows = [*rows[: room - 1], ("", "", f"and {more} more", "")]
    for number, (start, stop, what, name) in enumerate(rows, y + 1):
        canvas.text(1, number, start)
        canvas.text(9, number, stop)
        canvas.text(17, number, what, "bold", 12)
        canvas.text(27, number, name, "", canvas.width - 28)
    if not rows:
        canvas.text(1, y + 1, "Not even one stage fits with that chance.")


def _clock(seconds: float) -> str:
    whole = round(seconds / 60)
    return f"{whole // 60}:{whole % 60:02d}"


def _draw_needs(canvas: Canvas, board: CommissionBoard) -> None:
    lines = [] if board.needs is None else needs_lines(board.needs, min(80, canvas.width - 2))
    room = canvas.height - 6
    last = max(0, len(lines) - room)
    board.scroll = max(0, min(board.scroll, last))
    for y, line in enumerate(lines[board.scroll : board.scroll + room], 2):
        head = line[:11]
        if head.strip().isupper():
            canvas.text(1, y, head, "bold")
            canvas.text(12, y, line[11:])
        else:
            canvas.text(1, y, line, "warn" if line.startswith("!") else "")
    if board.scroll < last:
        below = f" {last - board.scroll} more lines below: DOWN "
        canvas.right(canvas.height - 4, below, "bold", canvas.width - 1)


def _draw_closing(canvas: Canvas, board: CommissionBoard, found: CommissionProgress) -> None:
    total = closing(found)
    head = "CLOSING SHEET" if found.done else "SO FAR (the closing sheet, once all is made)"
    canvas.text(1, 2, head, "bold")
    pieces = f"{total.good} good, {plural(total.seconds, 'second')}, {total.given_up} given up"
    canvas.text(1, 3, f"pieces     {pieces}", "", canvas.width - 2)
    days = [t.finished_at for lot in found.lots for t in lot.pieces if t.finished_at is not None]
    if days:
        first, last = (dt.datetime.fromtimestamp(f(days)).astimezone() for f in (min, max))
        said = f"first finished {first:%d %b %Y}, last {last:%d %b %Y}"
        canvas.text(1, 4, f"days       {said}", "", canvas.width - 2)
    y = 6
    parts: list[tuple[str, float]] = [
        (STAGE_WORDS[stage], seconds) for stage, seconds in total.stages.items()
    ]
    if total.whole_s:
        parts.append(("typed in", total.whole_s))
    room = max(4, canvas.width - 36)
    work_s = sum(seconds for _, seconds in parts)
    for name, seconds in parts:
        canvas.text(1, y, name)
        canvas.right(y, f"{hours(seconds)} h", "", 20)
        share = seconds / work_s if work_s else 0.0
        canvas.right(y, f"{100 * share:.0f} %", "", 27)
        canvas.text(28, y, bar(share, room), "call")
        y += 1
    canvas.text(1, y, "hands-on", "bold")
    canvas.right(y, f"{hours(work_s)} h", "bold", 20)
    all_s = work_s + total.rework_s
    each = minutes(all_s / total.good) if total.good and all_s else "–"
    canvas.text(1, y + 1, "rework")
    canvas.right(y + 1, f"{hours(total.rework_s)} h", "", 20)
    said = f"beside them; in all {each} for each good piece"
    for line in wrap(said, canvas.width - 29):
        y += 1
        canvas.text(28, y, line)
    y += 2
    if board.materials is None:
        canvas.text(1, y, "materials")
        for line in wrap("prices in your stock (stock.toml) would give their cost", room + 23):
            canvas.text(12, y, line)
            y += 1
    else:
        cost = board.materials
        said = f"materials  {cost.amount:,.2f} {cost.currency} for all pieces, spare included"
        canvas.text(1, y, said, "", canvas.width - 2)
        if cost.unpriced:
            more = f"without {', '.join(cost.unpriced)}: no price in your stock"
            for line in wrap(more, canvas.width - 14)[:2]:
                y += 1
                canvas.text(12, y, line, "warn", canvas.width - 13)
    if found.price is not None:
        canvas.text(1, y + 1, "price")
        for line in wrap(price_words(board, found), canvas.width - 14)[:2]:
            y += 1
            canvas.text(12, y, line, "", canvas.width - 13)


def hours(seconds: float) -> str:
    """Hours with one decimal; whole ones from a hundred."""
    value = seconds / 3600
    return f"{value:.1f}" if value < 100 else f"{value:,.0f}"


def date(now: Moment, days: float) -> str:
    """The day so many days from now; far ones by month and year."""
    zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
    try:
        then = dt.datetime.fromtimestamp(now.wall + 86_400 * days, zone)
    except (OverflowError, ValueError, OSError):
        return "never"
    return f"{then:%d %b}" if days < FAR_DAYS else f"{then:%b %Y}"
