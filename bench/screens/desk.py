"""What lies behind the screens: settings, documents, journal and times, read after first paint."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from bench.braid import Braid, unfinished
from bench.clock import Clock, SystemClock
from bench.craft.load import runs
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.documents import DocumentError
from bench.journal.errors import JournalError, Locked
from bench.journal.state import PieceState
from bench.journal.store import Journal
from bench.library import Entry, Library
from bench.pace.guess import guess_whole_s
from bench.pace.records import PieceRecord, Work
from bench.pace.simple import OwnTimes
from bench.run import Run
from bench.settings import ACTIONS, read_settings
from bench.workup import Workup, work_up

from . import words
from .home_view import Card, Choice, Row
from .keys import Keys
from .lists import Table
from .outlook import Outlook

AS_WRITTEN = "as written"
BEGINNINGS = {"braiding": "braid", "loading": "load", "setting up": "set_up"}


class Desk:
    """Settings, library and journal of one home folder, for the screens.

    notices: what was wrong with any of them, one sentence each.
    """

    def __init__(self, home: Path | None, clock: Clock | None) -> None:
        self.clock: Clock = clock or SystemClock()
        self.library = Library(home)
        self.notices: list[str] = []
        self.settings, wrong = read_settings(self.library.home)
        if wrong is not None:
            self.notices.append(wrong)
        self.keys = Keys(self.settings)
        self.looking_on = ""
        self.journal = self._open_journal()
        self.outlook = Outlook(self.journal, self.clock)
        self._entries: dict[str, Entry] = {}

    def _open_journal(self) -> Journal | None:
        path = self.library.home / "journal.db"
        try:
            journal = Journal.open(path, write=True, clock=self.clock, even_unsaved=True)
        except Locked as locked:
            self.looking_on = str(locked)
            self.notices.append(str(locked))
            try:
                journal = Journal.open(path, write=False, clock=self.clock)
            except JournalError as error:
                self.notices.append(str(error))
                return None
        except JournalError as error:
            self.notices.append(str(error))
            return None
        self.notices += journal.reports
        return journal

    # The list

    def rows(self) -> list[Row]:
        """Pieces in the making, patterns and commissions; details are read when in sight."""
        self.outlook.renew()
        pieces = [] if self.journal is None else unfinished(self.journal)
        self._entries = {entry.name: entry for entry in self.library.patterns()}
        return [
            *(Row("piece", s.uuid, s.title, self._piece_detail(s)) for s in pieces),
            *(Row("pattern", name, name.replace("-", " ")) for name in self._entries),
            *(
                Row("run", entry.name, entry.name.replace("-", " "))
                for entry in self.library.runs()
            ),
        ]

    def read_rows(self, rows: Sequence[Row], first: int, last: int) -> list[Row]:
        """Read the documents of some lines; a broken one says what is wrong with it."""
        return [
            self._read_row(row) if first <= number <= last and not row.detail else row
            for number, row in enumerate(rows)
        ]

    def _read_row(self, row: Row) -> Row:
        try:
            if row.kind == "run":
                run = self.library.run(self.library.run_path(row.ref))
                pieces = sum(lot.pieces for lot in run.lots)
                detail = f"{words.plural(len(run.lots), 'lot')}, {words.plural(pieces, 'piece')}"
                return replace(row, title=run.title, detail=detail)
            path = self.library.pattern_path(row.ref)
            pattern = self.library.pattern(path)
            plan = self.library.plan(path, pattern)
            own = "" if self._entries[row.ref].shipped else "yours; "
            detail = f"{own}{self._counts(plan)}, {self.time_words(row.ref, work_of(plan))}"
            return replace(row, title=pattern.title, detail=detail)
        except DocumentError as error:
            return replace(row, title=row.ref, wrong=error.short, detail=" ")
        except Fault as fault:
            return replace(row, title=row.ref, wrong=str(fault), detail=" ")

    def _piece_detail(self, state: PieceState) -> str:
        stage = "between stages" if state.stage is None else words.STAGE_WORDS[state.stage]
        made = f", {words.plural(state.made, 'cross')} made" if state.made else ""
        paused = ", paused: stick in" if state.paused else ""
        when = dt.datetime.fromtimestamp(state.last_wall).astimezone()
        return f"{stage}{made}{paused}, last {when:%d %b %H:%M}"

    def _counts(self, plan: Plan) -> str:
        beads = sum(len(load) for load in plan.loads)
        held = f"{beads:,} beads, " if beads else ""
        return f"{held}{words.plural(plan.crosses, 'cross')}"

    # Times

    def time_words(self, pattern: str, work: Work) -> str:
        """How long a piece of a pattern takes: the maker's own times, or the built-in guess."""
        own = self.outlook.own(pattern)
        if own.median_s is None:
            return f"about {minutes(guess_whole_s(work))} (guess)"
        text = f"{minutes(own.median_s)} (your {words.plural(own.pieces, 'piece')}"
        if own.fastest_s is not None and own.slowest_s is not None:
            text += f": {minutes(own.fastest_s)} to {minutes(own.slowest_s)}"
        return f"{text})"

    def times_of(self, braid: Braid) -> tuple[str, str]:
        """A piece's hands-on time so far, and when it is ready."""
        if not self.settings.press.show_times:
            return "", ""
        spent = braid.braid_times().hands_on_s
        hands_on = f"hands-on {minutes(spent)}" if spent >= 60 else ""
        ready = self.outlook.ready(braid)
        return hands_on, "" if ready is None else f"ready about {ready:%H:%M}"

    def times_table(self) -> Table:
        """The maker's times by pattern, with what the next piece is expected to take."""
        lines = []
        for name in self._entries:
            try:
                path = self.library.pattern_path(name)
                pattern = self.library.pattern(path)
                work = work_of(self.library.plan(path, pattern))
            except (DocumentError, Fault):
                continue
            own = self.outlook.own(name)
            ahead = self.outlook.next_piece(name, work)
            spread = "–"
            if own.fastest_s is not None and own.slowest_s is not None:
                spread = f"{minutes(own.fastest_s)} to {minutes(own.slowest_s)}"
            lines.append(
                (
                    pattern.title,
                    str(own.pieces),
                    "–" if own.median_s is None else minutes(own.median_s),
                    spread,
                    f"{minutes(ahead[1])} ({minutes(ahead[0])} to {minutes(ahead[2])})",
                )
            )
        notes = ["the next piece: 8 in 10 fall between the two; drying is not counted"]
        if self.outlook.model.is_guess:
            notes.append("no piece is finished yet: all of this is a guess from common practice")
        heads = ("pattern", "pieces", "middle", "spread", "next piece")
        return Table("Your times", heads, (22, 8, 11, 19), lines, "ESC back", notes)

    def run_table(self, name: str) -> tuple[Table, Run]:
        """The lots of a commission: made, to make, and the hours that are still to come."""
        run = self.library.run(self.library.run_path(name))
        states = [] if self.journal is None else self.journal.pieces(open_only=False)
        lines, rest_s = [], 0.0
        for lot in run.lots:
            mine = [s for s in states if s.run == name and s.lot == lot.name]
            done = sum(s.status == "good" for s in mine)
            begun = sum(s.open for s in mine)
            made = work_up(self.library, self.settings, lot.pattern, lot.size, lot.colourway)
            each = self.outlook.next_piece(made.name, work_of(made.plan))[1]
            left = max(0, lot.pieces - done)
            rest_s += left * each
            kind = ", ".join(p for p in (made.pattern.title, lot.size, lot.colourway) if p)
            due = f", due {lot.due:%d %b}" if lot.due else ""
            lines.append(
                (lot.name, f"{done} of {lot.pieces}", str(begun), minutes(left * each), kind + due)
            )
        weeks = rest_s / 3600 / self.settings.work.hours_per_week
        notes = [
            f"about {minutes(rest_s)} of hands-on work to come, {weeks:.1f} weeks at"
            f" {self.settings.work.hours_per_week:g} hours a week"
        ]
        heads = ("lot", "made", "begun", "to come", "pattern")
        foot = "ENTER start the next piece of this lot   ESC back"
        return Table(run.title, heads, (24, 10, 7, 12), lines, foot, notes), run

    def start_lot(self, name: str, run: Run, number: int) -> Braid:
        """Start the next piece of a lot, at its loading."""
        assert self.journal is not None
        lot = run.lots[number]
        states = self.journal.pieces(open_only=False)
        count = sum(1 for s in states if s.run == name and s.lot == lot.name) + 1
        made = work_up(self.library, self.settings, lot.pattern, lot.size, lot.colourway)
        title = f"{made.pattern.title} {count} of {lot.pieces}"
        return Braid.start(self.journal, made, title=title, stage="load", run=name, lot=lot.name)

    # Starting

    def card(self, name: str) -> Card:
        """The card of a pattern, with what can be chosen."""
        pattern = self.library.pattern(self.library.pattern_path(name))
        choices = [
            Choice("size", (AS_WRITTEN, *pattern.sizes)),
            Choice("colourway", (AS_WRITTEN, *pattern.colourways)),
            Choice("begin with", tuple(BEGINNINGS)),
        ]
        card = Card(pattern.title, choices, picked=2, ref=name)
        self.fill_card(card)
        return card

    def fill_card(self, card: Card) -> None:
        """Work out what the chosen size and colourway come to."""
        try:
            made = self._made(card)
        except (DocumentError, Fault) as error:
            card.facts, card.warnings = [], [str(error)]
            return
        plan, growth = made.plan, made.growth
        rests = growth.guessed or "predicted; measure your first one"
        facts = [
            made.structure.title,
            f"{self._counts(plan)}, {plan.rows} rows" if plan.rows else self._counts(plan),
        ]
        for letter, bead in made.pattern.beads.items():
            count = sum(load.count(letter) for load in plan.loads)
            if count:
                facts.append(f"{letter}  {count} × {bead.name} {bead.size}, {bead.shape}")
        facts += [
            f"{growth.length_mm:.0f} mm long, {growth.diameter_mm:.1f} mm thick ({rests})",
            f"thread: {made.pattern.threads.name}",
            self.time_words(card.ref, work_of(plan)),
        ]
        card.facts, card.warnings = facts, list(made.warnings)
        card.side = _rows_picture(plan)

    def start(self, card: Card) -> Braid:
        """Start a piece of what a card shows."""
        assert self.journal is not None
        stage = BEGINNINGS[card.choices[2].value]
        return Braid.start(self.journal, self._made(card), stage=stage)

    def _made(self, card: Card) -> Workup:
        size, colourway = (
            None if choice.value == AS_WRITTEN else choice.value for choice in card.choices[:2]
        )
        return work_up(self.library, self.settings, card.ref, size, colourway)

    def help_lines(self) -> list[tuple[str, str]]:
        """The bench's keys and what they do."""
        longer = {
            "next": "counts the cross that your hands have laid down",
            "back": "you took a cross back: shows the reverse move, and counts one less",
            "slip": "something is not as the screen says: find out what and how to mend it",
            "place": "two looks set the count; nothing is unbraided",
            "mark": "the mark on the screen is done; after the last cross: go on",
            "pause": "stick in, weight off; again to come back",
            "note": "keep a line of your own with the piece",
            "leave": "back to the list; you come back to the same cross",
        }
        return [
            (self.keys.name(action), longer.get(action, label))
            for action, (label, _) in ACTIONS.items()
        ]


def work_of(plan: Plan) -> Work:
    """How much work a plan is."""
    return Work(sum(len(load) for load in plan.loads), plan.strands, plan.crosses)


def minutes(seconds: float) -> str:
    """A time in words: '41 min', '1 h 20'."""
    whole = max(1, round(seconds / 60))
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d}"


def _rows_picture(plan: Plan) -> list[str]:
    """The rows of strand 1's load from the start, as a small side view by size."""
    if not any(plan.loads):
        return []
    order = {letter: width for width, letter in enumerate(sorted(plan.pattern.beads), 2)}
    lines = []
    for letter, count in runs(next(load for load in plan.loads if load)):
        wide = letter * (2 * order.get(letter, 2))
        lines += [wide.center(20)] * min(count, 6)
    return lines


__all__ = ["Desk", "OwnTimes", "PieceRecord", "minutes", "work_of"]
