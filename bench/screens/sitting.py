"""What lies behind the screens: settings, documents, journal and times, read after first paint."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from bench.commission.progress import next_number
from bench.craft.load import equal_runs
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.documents.commission import Lot
from bench.documents.errors import DocumentError
from bench.documents.library import Entry, Library
from bench.documents.settings import read_settings
from bench.documents.stock import weighed_in_stock
from bench.journal.clock import Clock, SystemClock
from bench.journal.errors import JournalError, Locked
from bench.journal.piece_times import work_of
from bench.journal.state import PieceState
from bench.journal.store import Journal
from bench.making.braid import Braid, unfinished
from bench.making.calibration import Calibration, calibration_of
from bench.making.learning import maker_of
from bench.making.loading import next_set
from bench.making.worked_pattern import WorkedPattern, work_up
from bench.pace.own_times import OwnTimes
from bench.pace.predict import Job
from bench.pace.records import PieceRecord, Work
from bench.screens.bench.stage_view import dry_until
from bench.screens.kit import words
from bench.screens.kit.keys import Keys
from bench.screens.lists.home_view import Card, Choice, Row
from bench.screens.lists.outlook import Outlook, minutes
from bench.slips.maker import Maker

_NUMBERED = re.compile(r"(.*) \d+((?: of \d+)?)")
AS_WRITTEN = "as written"
BEGINNINGS = {"braiding": "braid", "loading": "load", "setting up": "set_up"}


class Desk:
    """Settings, library and journal of one home folder, for the screens.

    notices: what was wrong with any of them, one sentence each.
    """

    def __init__(self, home: Path | None, clock: Clock | None, wait_s: float = 0.0) -> None:
        self.clock: Clock = clock or SystemClock()
        self.library = Library(home)
        self.notices: list[str] = []
        self.settings, wrong = read_settings(self.library.home)
        if wrong is not None:
            self.notices.append(wrong)
        self.keys = Keys(self.settings)
        self.looking_on = ""
        self.journal = self._open_journal(wait_s)
        self.outlook = Outlook(self.journal, self.clock, self.library, keep=not self.looking_on)
        self._entries: dict[str, Entry] = {}
        self._began_with = ""

    def _open_journal(self, wait_s: float) -> Journal | None:
        path = self.library.home / "journal.db"
        try:
            journal = Journal.open(
                path, write=True, clock=self.clock, even_unsaved=True, wait_s=wait_s
            )
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
                Row("commission", entry.name, entry.name.replace("-", " "))
                for entry in self.library.commissions()
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
            if row.kind == "commission":
                commission = self.library.commission(self.library.commission_path(row.ref))
                pieces = sum(lot.pieces for lot in commission.lots)
                detail = (
                    f"{words.plural(len(commission.lots), 'lot')}, {words.plural(pieces, 'piece')}"
                )
                return replace(row, title=commission.title, detail=detail)
            path = self.library.pattern_path(row.ref)
            pattern = self.library.pattern(path)
            plan = self.library.plan(path, pattern)
            own = "" if self._entries[row.ref].shipped else "yours; "
            takes = self.time_words(row.ref, work_of(plan))
            detail = ", ".join(filter(None, (takes, self._counts(plan))))
            detail = f"{own}{detail}"
            return replace(row, title=pattern.title, detail=detail)
        except DocumentError as error:
            return replace(row, title=error.file.name, wrong=error.short, detail=" ")
        except Fault as fault:
            return replace(row, title=row.ref, wrong=str(fault), detail=" ")

    def _piece_detail(self, state: PieceState) -> str:
        stage = "waits" if state.stage is None else words.STAGE_WORDS[state.stage]
        if state.stage is None and state.stages_done == ("load",):
            stage = "loaded"
        if state.tag is not None:
            stage = f"{state.tag}, {stage}"
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
        """How long a piece of a pattern takes: the maker's own times, or what is forecast.

        Nothing while the times are being read.
        """
        if not self.outlook.known:
            return ""
        own = self.outlook.own(pattern)
        if own.median_s is None:
            _, likely, _ = self.outlook.next_piece(Job(pattern, "", "", work))
            basis = "guess" if self.outlook.model.is_guess else "by your other pieces"
            return f"about {minutes(likely)} ({basis})"
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
        ready = self.outlook.ready(braid, spent)
        if ready is None:
            return hands_on, ""
        now = dt.datetime.fromtimestamp(self.clock.now().wall, ready.tzinfo)
        return hands_on, f"ready about {words.time_of_day(ready, now)}"

    def start_lot(self, name: str, lot: Lot, stage: str) -> Braid:
        """Start the next piece of a lot at a stage, titled with its number."""
        assert self.journal is not None
        calibration = self._past(lot.pattern, lot.size, lot.colourway)
        made = work_up(
            self.library, self.settings, lot.pattern, lot.size, lot.colourway, calibration
        )
        self._began_with = stage
        number = self.next_number(name, lot.name)
        title = f"{made.pattern.title} {number}"
        if number <= lot.pieces:
            title += f" of {lot.pieces}"
        return Braid.start(
            self.journal, made, title=title, stage=stage, commission=name, lot=lot.name
        )

    def next_set(self, braid: Braid) -> Braid:
        """Lay a loaded set aside and start the next one of its batch, titled with its number."""
        title, state = braid.state.title, braid.state
        numbered = _NUMBERED.fullmatch(title)
        if state.commission is not None and state.lot is not None and numbered is not None:
            number = self.next_number(state.commission, state.lot)
            title = f"{numbered[1]} {number}{numbered[2]}"
        following = next_set(braid, title)
        braid.lay_aside()
        return following

    def in_hand(self, commission: str, lot: str) -> PieceState | None:
        """The piece of a lot in the making that was touched last."""
        pieces = [] if self.journal is None else unfinished(self.journal)
        return next((s for s in pieces if s.commission == commission and s.lot == lot), None)

    def next_number(self, commission: str, lot: str) -> int:
        """The number of the piece that is begun next for a lot."""
        states = [] if self.journal is None else unfinished(self.journal)
        done = (p.title for p in self.outlook.pieces if (p.commission, p.lot) == (commission, lot))
        making = (s.title for s in states if (s.commission, s.lot) == (commission, lot))
        return next_number([*done, *making])

    # Starting

    def stand_taken(self) -> str:
        """Say that a piece dries on the maker's stand; nothing while a stand is free."""
        states = [] if self.journal is None else unfinished(self.journal)
        drying = [state for state in states if state.stage == "dry"]
        if self.journal is None or len(drying) < self.settings.stand.stands:
            return ""
        try:
            until = dry_until(Braid(self.journal, drying[0].uuid), self.clock)
        except (JournalError, KeyError):
            until = "dry"
        verb = "is dry" if until.startswith("dry since") else "dries"
        return f"Stand taken: a piece on it {verb}{until.removeprefix('dry')}."

    def begins_with(self) -> str:
        """The stage that the piece begun last began with: at first braiding."""
        if self._began_with or self.journal is None:
            return self._began_with or "braid"
        begun = [
            (state.started_wall or 0.0, {*state.stages_done, state.stage})
            for state in unfinished(self.journal)
        ]
        begun += [(t.finished_at or 0.0, {*t.stages}) for t in self.outlook.pieces if t.stages]
        stages = max(begun, key=lambda piece: piece[0], default=(0.0, {"braid"}))[1]
        return next((stage for stage in ("load", "set_up") if stage in stages), "braid")

    def card(self, name: str) -> Card:
        """The card of a pattern, with what can be chosen."""
        path = self.library.pattern_path(name)
        pattern = self.library.pattern(path)
        begin = self.begins_with()
        if begin == "load" and not any(self.library.plan(path, pattern).loads):
            begin = "set_up"
        choices = [
            Choice("size", (AS_WRITTEN, *pattern.sizes)),
            Choice("colourway", (AS_WRITTEN, *pattern.colourways)),
            Choice("begin with", tuple(BEGINNINGS), list(BEGINNINGS.values()).index(begin)),
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
        shift = made.calibration.corrections.length.says("length")
        rests = shift or growth.guessed or "predicted; measure your first one"
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
        begins = BEGINNINGS[card.choices[2].value]
        card.said = self.stand_taken() if begins != "load" else ""
        card.side = _rows_picture(plan)

    def start(self, card: Card) -> Braid:
        """Start a piece of what a card shows."""
        assert self.journal is not None
        stage = self._began_with = BEGINNINGS[card.choices[2].value]
        return Braid.start(self.journal, self._made(card), stage=stage)

    def _made(self, card: Card) -> WorkedPattern:
        size, colourway = (
            None if choice.value == AS_WRITTEN else choice.value for choice in card.choices[:2]
        )
        calibration = self._past(card.ref, size, colourway)
        return work_up(self.library, self.settings, card.ref, size, colourway, calibration)

    def _past(self, pattern: str, size: str | None, colourway: str | None) -> Calibration:
        """What earlier pieces of a pattern, and weighed beads, tell of the next one."""
        in_stock, _ = weighed_in_stock(self.library.home, self.settings.stand.scale_g)
        if self.journal is None:
            return Calibration(weighed=in_stock)
        return calibration_of(self.journal, self.settings, pattern, size, colourway, in_stock)

    def maker(self) -> Maker:
        """The maker as the settings say, with what the journal has taught so far."""
        return maker_of(self.settings, self.journal)[0]


def _rows_picture(plan: Plan) -> list[str]:
    """The rows of strand 1's load from the start, as a small side view by size."""
    if not any(plan.loads):
        return []
    order = {letter: width for width, letter in enumerate(sorted(plan.pattern.beads), 2)}
    lines = []
    for letter, count in equal_runs(next(load for load in plan.loads if load)):
        wide = letter * (2 * order.get(letter, 2))
        lines += [wide.center(20)] * min(count, 6)
    return lines


__all__ = ["Desk", "OwnTimes", "PieceRecord", "minutes", "work_of"]
