"""The first screen's list by what one does next: pieces, commissions, patterns, what was made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from rich.cells import cell_len
from textual.geometry import Size

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import draw_foot, say
from bench.screens.kit.list_screen import ListMode
from bench.screens.kit.picking import draw_picked, moved, window

if TYPE_CHECKING:
    from bench.screens.kit.help_page import Lines
    from bench.screens.lists.companion import ListsCompanion

HOME_HELP: Lines = (
    ("ENTER", "on a piece: go on where you left it, on the same cross"),
    ("", "on a pattern: its card; ENTER again starts a piece, nothing to type"),
    ("", "on a commission: its lots, what is done and what is still to make"),
    ("G", "on a piece: give it up, if it cannot be finished; asks why first"),
    ("I", "on a piece: its notes, its measures, and what can be taken back"),
    ("C", "on a piece: it was only tried out and counts for nothing, or it counts after all"),
    ("D C", "on a pattern: change it on the drawing board (a shipped one as a copy); copy it"),
    ("N", "a new pattern on the drawing board"),
    ("T", "your times: what a piece takes you, pattern by pattern"),
    ("UP DOWN", "choose a line; PAGE UP and PAGE DOWN go further"),
    ("Q", "close the program; nothing is lost, whenever you do it"),
)
LEAST_DETAIL = 24
"""Columns that are kept for how a piece or a commission stands, beside its whole name."""
HEADINGS = {
    "piece": "IN THE MAKING",
    "commission": "COMMISSIONS",
    "pattern": "PATTERNS",
    "made": "MADE LATELY",
}


@dataclass(frozen=True, slots=True)
class HomeEntry:
    """One line to choose: what it opens, its title, and details; wrong is why it cannot be used."""

    kind: Literal["piece", "commission", "pattern", "made"]
    ref: str
    title: str
    detail: str = ""
    wrong: str = ""


@dataclass
class HomeList(ListMode):
    """What there is to go on with and to start."""

    companion: ListsCompanion
    open: Callable[[HomeEntry], None]
    rows: Sequence[HomeEntry] = ()
    picked: int = 0
    notices: list[str] = field(default_factory=list)
    loading: bool = True
    said: str = ""
    sought: str = ""
    """The piece that is in hand: its line is picked when the list is back."""
    news: str = ""
    """How the piece that was finished last compares with what was expected."""
    leaving: bool = False
    """Whether it was told that something is not saved; the close key then closes."""

    help = HOME_HELP

    @property
    def on_piece(self) -> bool:
        """Whether the picked line is a piece in the making."""
        return bool(self.rows) and self.rows[self.picked].kind == "piece"

    @property
    def on_pattern(self) -> bool:
        """Whether the picked line is a pattern."""
        return bool(self.rows) and self.rows[self.picked].kind == "pattern"

    def clear(self) -> None:
        """Take back what is said or asked."""
        self.said = self.news = ""
        self.leaving = False

    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for."""
        leaving = self.leaving
        self.clear()
        if action == "close":
            self._close(leaving)
        elif action == "times":
            self.companion.show_times()
        elif action == "give_up" and self.on_piece:
            self._give_up(self.rows[self.picked])
        elif action == "piece" and self.rows and self.rows[self.picked].kind in {"piece", "made"}:
            self.companion.show_piece(self.rows[self.picked].ref)
        elif action == "trial" and self.on_piece:
            self._mark_trial(self.rows[self.picked])
        elif action == "new":
            self.companion.begin_pattern()
        elif action in {"draw", "trial"} and self.on_pattern:
            self.companion.draw_pattern(self.rows[self.picked].ref, copy=action == "trial")
        elif action == "open" and self.rows:
            self.open(self.rows[self.picked])
        elif self.rows:
            before = self.picked
            self.picked = moved(before, action, len(self.rows), max(1, size.height - 8))
            if self.picked != before:
                self.companion.read_rows()

    def _close(self, told: bool) -> None:
        """Close the program; with something not saved only at the second press."""
        waiting = self.companion.guard.waiting
        if waiting and not told:
            self.leaving = True
            key = self.companion.keys.name("close")
            self.said = f"Not saved: {waiting}. {key} again closes, and keeps it in a file."
        else:
            self.companion.exit()

    def _mark_trial(self, piece: HomeEntry) -> None:
        if self.companion.journal is None or self.companion.looking_on:
            self.said = self.companion.looking_on or "There is no journal to write to."
            return
        was = self.companion.journal.state(piece.ref).trial
        self.companion.mark_trial(piece.ref)
        now = "counts again" if was else "is a trial now and counts for nothing"
        key = self.companion.keys.foot("C")
        self.said = self.said or f"{piece.title} {now}; {key} takes that back."

    def _give_up(self, piece: HomeEntry) -> None:
        """Ask why a piece is given up."""
        if self.companion.journal is None or self.companion.looking_on:
            self.said = self.companion.looking_on or "There is no journal to write to."
            return
        self.companion.ask_to_give_up(piece.ref, piece.title)

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the list; the picked line is always in sight."""
        canvas = Canvas(width, height)
        canvas.text(1, 0, "BRAID BENCH", "bold")
        canvas.rule(1)
        notices = [line for notice in self.notices for line in wrap(notice, width - 4)][:4]
        foot = height - 3 - len(notices)
        if self.loading and not self.rows:
            canvas.text(1, 3, "reading patterns and pieces")
        lines = _with_headings(self.rows)
        at = next((i for i, (index, _) in enumerate(lines) if index == self.picked), 0)
        for y, line in enumerate(window(len(lines), at, foot - 2), 2):
            index, heading = lines[line]
            if index is None:
                canvas.text(1, y, heading, "dim")
            else:
                style = draw_picked(canvas, y, index, self.picked)
                _draw_entry(canvas, y, self.rows[index], self._column(width, index), style)
        for number, text in enumerate(notices):
            canvas.text(1, foot + number, text, "warn")
        keys = (
            ("UP DOWN", "choose", ""),
            ("ENTER", "open", "open"),
            *([("I", "its page", "piece")] if self.on_piece else []),
            *([("D", "draw", "draw")] if self.on_pattern else []),
            ("T", "times", "times"),
            ("Q", "close", "close"),
        )
        draw_foot(canvas, keys, self.said, named)
        if self.news and not self.said:
            say(canvas, self.news)
        return canvas

    def _column(self, width: int, index: int) -> int:
        """Where the details of a line's kind begin: after its titles, if both have room."""
        alike = [row for row in self.rows if row.kind == self.rows[index].kind]
        titles = max(cell_len(row.title) for row in alike)
        if self.rows[index].kind != "pattern":
            return min(titles + 1, width - LEAST_DETAIL)
        details = max(cell_len(row.wrong or row.detail) for row in alike)
        return max(min(26, width // 3), min(titles + 1, width - 5 - details))


def _with_headings(rows: Sequence[HomeEntry]) -> list[tuple[int | None, str]]:
    """The lines of the list: a row by its number, or a heading or a blank without one."""
    lines: list[tuple[int | None, str]] = []
    before = None
    for index, row in enumerate(rows):
        if row.kind != before:
            lines += [(None, "")] if before is not None else []
            lines.append((None, HEADINGS[row.kind]))
            before = row.kind
        lines.append((index, ""))
    return lines


def _draw_entry(canvas: Canvas, y: int, row: HomeEntry, column: int, style: str) -> None:
    canvas.text(3, y, row.title, style or "bold", column - 1)
    room = canvas.width - column - 5
    if row.wrong:
        canvas.text(4 + column, y, row.wrong, style or "warn", room)
        return
    detail = row.detail
    while cell_len(detail) > room and ", " in detail:
        detail = detail.rpartition(", ")[0]
    if cell_len(detail) > room and detail.endswith(")") and ": " in detail:
        detail = detail.partition(": ")[0] + ")"  # the middle and what it rests on; no range
    canvas.text(4 + column, y, detail, style, room)
