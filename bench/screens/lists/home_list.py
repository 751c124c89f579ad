"""The first screen's list by what one does next: pieces, commissions, patterns, what was made."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from textual.geometry import Size

from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import WIDE, Key, draw_foot, say
from bench.screens.kit.list_screen import ListMode
from bench.screens.kit.picking import draw_picked, moved, window
from bench.screens.lists.home_entry import (
    HomeEntry,
    column_of_details,
    draw_entry,
    with_headings,
)

if TYPE_CHECKING:
    from bench.screens.kit.hanging_braid import HangingBraid
    from bench.screens.kit.help_page import Lines
    from bench.screens.lists.companion import ListsCompanion

HOME_HELP: Lines = (
    ("ENTER", "a piece: go on, on the same cross"),
    ("", "a pattern: its card; ENTER again starts a piece"),
    ("", "a commission: its lots, done and to make; the order, the shop"),
    ("G", "a piece: give it up; asks why first"),
    ("", "a paid commission: put it away, call it back"),
    ("I", "a piece: notes, measures, what to take back"),
    ("C", "a piece: only tried out; a pattern: copy it"),
    ("D", "a pattern: draw on it; a shipped one is copied"),
    ("N", "a new pattern on the drawing board; on a commission a new one"),
    ("T", "your times, pattern by pattern"),
    ("UP DOWN", "choose a line; PAGE UP, PAGE DOWN go further"),
    ("/", "find by name or note; ENTER opens, TAB leaves the line"),
    ("Q", "close the program; nothing is lost"),
)
FIND = "find "
"""What stands before the line on which a name is typed."""
PICTURE = 14
"""Columns of the picked braid's picture on a narrow screen; more on a wide one."""
LEAST_PICTURE = 9
"""Lines that a picture needs."""
SPACIOUS = 100
"""From so many columns on the picture stands beside the whole list, else beside the patterns."""


@dataclass
class HomeList(ListMode):
    """What there is to go on with and to start."""

    companion: ListsCompanion
    open: Callable[[HomeEntry], None]
    read_rows: Callable[[], None]
    rows: Sequence[HomeEntry] = ()
    picked: int = 0
    notices: list[str] = field(default_factory=list)
    loading: bool = True
    said: str = ""
    sought: str = ""
    """The piece that is in hand: its line is picked when the list is back."""
    news: str = ""
    """What is told until the next key, as how the last piece compares with what was expected."""
    narrowed: str = ""
    """What was typed: only lines that go with it are shown."""
    typing: bool = False
    """Whether the line is open on which that is typed."""
    notes: Mapping[tuple[str, str], Sequence[str]] = field(default_factory=dict)
    """The notes kept with what a line opens, by its kind and what it opens; the earliest first."""
    braid: HangingBraid | None = None
    """The picked line's braid, if it has one to show."""
    colours: bool = False
    """Whether the terminal shows colours."""
    shows_away: bool = False
    """Whether the commissions are shown that are put away."""
    throwing: str = ""
    """The sketch of which it was told that the same key throws it away."""
    leaving: bool = False
    """Whether it was told that something is not saved; the close key then closes."""

    help = HOME_HELP

    @property
    def shown(self) -> Sequence[HomeEntry]:
        """The lines that go with what was typed."""
        words = self._words
        if words:
            return [row for row in self.rows if row.goes_with(words, self._notes_of(row))]
        if self.shows_away or not any(row.is_hidden for row in self.rows):
            return self.rows
        return [row for row in self.rows if not row.is_hidden]

    @property
    def _words(self) -> Sequence[str]:
        return self.narrowed.casefold().split()

    def _notes_of(self, row: HomeEntry) -> Sequence[str]:
        return self.notes.get((row.kind, row.ref), ())

    @property
    def entry(self) -> HomeEntry | None:
        """The picked line."""
        shown = self.shown
        return shown[self.picked] if self.picked < len(shown) else None

    def on(self, *kinds: str) -> bool:
        """Whether the picked line is of one of these kinds."""
        entry = self.entry
        return entry is not None and entry.kind in kinds

    def narrow(self, text: str) -> None:
        """Show only the lines that go with a text; the picked one stays picked if it does.

        Else the first is picked whose title begins with the text, or the first of all.
        """
        before = self.entry
        self.narrowed = text
        shown, begins = self.shown, text.casefold()
        alike = (n for n, row in enumerate(shown) if row.title.casefold().startswith(begins))
        self.picked = shown.index(before) if before in shown else next(alike, 0)
        self.read_rows()

    def show_rows(self, rows: Sequence[HomeEntry], sought: Sequence[str]) -> None:
        """Show other lines and pick the first of them that is sought; else the same line."""
        self.rows = rows
        at = {row.ref: number for number, row in enumerate(self.shown)}
        if self.narrowed and not any(ref in at for ref in sought):
            self.narrowed = ""
            at = {row.ref: number for number, row in enumerate(rows)}
        kept = max(0, min(self.picked, len(self.shown) - 1))
        self.picked = next((at[ref] for ref in sought if ref in at), kept)

    def clear(self) -> None:
        """Take back what is said or asked."""
        self.said = self.news = ""
        self.leaving = False
        self.throwing = ""

    def act(self, action: str, size: Size) -> None:
        """Do what a key stands for."""
        leaving, throwing = self.leaving, self.throwing
        self.clear()
        if action == "give_up" and self.on("sketch"):
            self._throw_away(self.shown[self.picked], throwing)
        elif action == "close":
            self._close(leaving)
        elif action == "times":
            self.companion.show_times()
        elif action == "new" and self.on("commission"):
            self.companion.begin_commission()
        elif action == "new":
            self.companion.begin_pattern()
        elif action == "back" and self.narrowed:
            self.narrow("")
        elif (entry := self.entry) is not None:
            self._act_on(entry, action, size)

    def _act_on(self, entry: HomeEntry, action: str, size: Size) -> None:
        """Do what a key stands for with the picked line, or pick another one."""
        if action == "open" and entry.folds:
            self.shows_away = not self.shows_away
            self.read_rows()
        elif action == "open":
            if self.narrowed:
                self.narrow("")
            self.open(entry)
        elif action == "give_up" and entry.kind == "piece":
            self._give_up(entry)
        elif action == "give_up" and entry.kind in {"commission", "away"} and not entry.folds:
            self._turn_away(entry)
        elif action == "piece" and entry.kind in {"piece", "made"}:
            self.companion.show_piece(entry.ref)
        elif action == "trial" and entry.kind == "piece":
            self._mark_trial(entry)
        elif action == "draw" and entry.kind == "sketch":
            self.companion.go_on_with_sketch(entry.ref)
        elif action in {"draw", "trial"} and entry.kind == "pattern":
            self.companion.draw_pattern(entry.ref, copy=action == "trial")
        else:
            before = self.picked
            self.picked = moved(before, action, len(self.shown), max(1, size.height - 8))
            if self.picked != before:
                self.read_rows()

    def _throw_away(self, sketch: HomeEntry, told: str) -> None:
        """Throw a sketch away, at the second press."""
        if told == sketch.ref:
            self.companion.throw_sketch_away(sketch.ref)
            self.said = self.said or f"{sketch.title} is thrown away."
        else:
            self.throwing = sketch.ref
            key = self.companion.keys.name("give_up")
            self.said = f"{key} again throws {sketch.title} away; no pattern has it."

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
        from bench.journal.errors import JournalError
        from bench.making.piece_verdicts import mark_trial

        companion, journal = self.companion, self.companion.journal
        if companion.cannot_write or journal is None:
            self.said = companion.cannot_write
            return
        was = journal.state(piece.ref).trial
        try:
            mark_trial(journal, piece.ref, trial=not was)
            now = "counts again" if was else "is a trial now and counts for nothing"
            self.said = f"{piece.title} {now}; {companion.keys.foot('C')} takes that back."
        except JournalError as error:
            self.said = str(error)
        companion.pace.touch(piece.ref)
        companion.fill_home()

    def _is_over(self) -> bool:
        return self.entry is not None and self.entry.is_over

    def _turn_away(self, entry: HomeEntry) -> None:
        """Put a commission away, or call it back."""
        from bench.screens.lists.putting_away import turn_away

        self.said = turn_away(self.companion, entry.ref)
        self.companion.fill_home()

    def _give_up(self, piece: HomeEntry) -> None:
        """Ask why a piece is given up."""
        self.said = self.companion.cannot_write
        if not self.said:
            self.companion.ask_to_give_up(piece.ref, piece.title)

    def draw(self, width: int, height: int, named: Callable[[str], str] = str) -> Canvas:
        """Draw the list; the picked line is always in sight."""
        canvas = Canvas(width, height)
        canvas.text(1, 0, "BRAID BENCH", "bold")
        if self.narrowed:
            said = f"{len(self.shown)} of {len(self.rows)} lines go with '{self.narrowed}'"
            canvas.right(0, said, end=width - 1)
        canvas.rule(1)
        notices = [line for notice in self.notices for line in wrap(notice, width - 4)][:4]
        foot = height - 3 - len(notices)
        if self.loading and not self.rows:
            canvas.text(1, 3, "reading patterns and pieces")
        rows = self.shown
        lines = with_headings(rows)
        at = next((i for i, (index, _) in enumerate(lines) if index == self.picked), 0)
        in_sight = [lines[line] for line in window(len(lines), at, foot - 2)]
        picture = self._picture_box(in_sight, width, foot)
        kinds = {row.kind for row in rows}
        columns = {kind: column_of_details(rows, kind, width) for kind in kinds}
        for y, (index, heading) in enumerate(in_sight, 2):
            if index is None:
                canvas.text(1, y, heading, "dim")
            else:
                style = draw_picked(canvas, y, index, self.picked)
                edge = picture[0] if picture and y >= picture[1] else width
                row = rows[index]
                found = row.with_note(self._words, self._notes_of(row))
                draw_entry(canvas, y, found, columns[row.kind], style, edge)
        if self.narrowed and not rows:
            canvas.text(3, 2, f"Nothing goes with '{self.narrowed}'.")
        if picture and self.braid is not None:
            from bench.screens.kit.hanging_braid import draw_hanging

            x, y, wide, high = picture
            canvas.fill(x, y, wide, high, "")
            draw_hanging(canvas, x + 1, y, wide - 2, high, [self.braid], 0, colours=self.colours)
        for number, text in enumerate(notices):
            canvas.text(1, foot + number, text, "warn")
        draw_foot(canvas, self._keys(width), self.said, named, typing=self.typing)
        if self.typing:
            canvas.text(1, height - 2, FIND, "bold")
        elif self.news and not self.said:
            say(canvas, self.news)
        return canvas

    def _picture_box(
        self, in_sight: Sequence[tuple[int | None, str]], width: int, foot: int
    ) -> tuple[int, int, int, int] | None:
        """Where the picked line's braid hangs: column, line, width, height; None without room."""
        if self.braid is None or width < WIDE:
            return None
        shown = self.shown
        top = 2
        if width < SPACIOUS:
            patterns = [
                y for y, (index, _) in enumerate(in_sight, 2)
                if index is not None and shown[index].kind == "pattern"
            ]  # fmt: skip
            top = patterns[0] if patterns else foot
        wide = PICTURE + max(0, width - 80) * 2 // 5
        return (width - wide, top, wide, foot - top) if foot - top >= LEAST_PICTURE else None

    def _keys(self, width: int) -> Sequence[Key]:
        """The keys of the foot; in a narrow one that of a piece stands in place of finding."""
        first = (("UP DOWN", "choose", ""), ("ENTER", "open", "open"))
        if self.typing:
            return (*first, ("TAB", "keys again", "next_page"), ("ESC", "all lines", "back"))
        on_line: list[Key] = []
        if self.on("piece"):
            on_line = [("I", "its page", "piece")]
        if self.on("pattern"):
            on_line = [("D", "draw", "draw")]
        if self.on("commission"):
            on_line = [("N", "a new one", "new")]
            on_line = [("G", "put away", "give_up")] if self._is_over() else on_line
        if self.entry is not None and self.entry.is_hidden:
            on_line = [("G", "call back", "give_up")]
        if self.narrowed:
            return (*first, *on_line, ("ESC", "all lines", "back"))
        find = [("/", "find", "narrow")] if width >= WIDE or not self.on("piece") else []
        return (*first, *on_line, *find, ("T", "times", "times"), ("Q", "close", "close"))
