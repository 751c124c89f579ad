"""What one sitting holds open: settings, library and journal of one home; for app and commands."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bench.documents.folders import Folders
    from bench.documents.index import Index, Stamp
    from bench.documents.library import Library
    from bench.documents.settings import Settings
    from bench.journal.clock import Clock
    from bench.journal.inbox import TakenIn
    from bench.journal.piece_times import PieceTimes
    from bench.journal.rescue import Kept
    from bench.journal.store import Journal
    from bench.making.worked_pattern import WorkedPattern
    from bench.timing.finished_pieces import FinishedPieces
    from bench.timing.fitted_pace import FittedPace
    from bench.timing.pace_service import LivePace, PaceService

KEPT = ("index.json", "pace.cache", "times.cache")
"""Files in the data folder that hold what was worked out, and may be thrown away."""
MANY = 300
"""Finished pieces to read from which the maker is told that it takes a while: about a second."""
WAIT_S = 2.0
"""How long a command that writes waits for another program to let go of the journal."""


class Session:
    """One maker's data folder; each thing is read when it is first asked for.

    Attributes:
        clock: the system's, if none is given.
        warnings: what the maker should know beside the answer, one sentence each.
        settings_wrong: what is wrong with the settings, once they were read.
        journal: the one that a sitting at the screen holds; commands open theirs by `reading` or
            `writing`.
        looking_on: why that journal cannot be written to, or nothing.
        live_pace: the pace that goes with it, brought up to date as pieces are made.
        evening: seconds at hand and stands that were said last of an evening, or None.
        kept: what could not be saved at the end of an earlier sitting and is not in that journal.

    """

    def __init__(self, home: Path | None, clock: Clock | None = None) -> None:
        self.given, self._clock = home, clock
        self.warnings: list[str] = []
        self.settings_wrong: str | None = None
        self.journal: Journal | None = None
        self.looking_on = ""
        self.evening: tuple[float, int] | None = None
        self.live_pace: LivePace
        self.kept: Kept | None = None
        self._settings_stamp: Stamp = None

    @cached_property
    def clock(self) -> Clock:
        """The clock that dates events."""
        from bench.journal.clock import SystemClock

        return self._clock or SystemClock()

    @cached_property
    def folders(self) -> Folders:
        """Where documents lie, and their names."""
        from bench.documents.folders import Folders

        return Folders(self.given)

    @cached_property
    def index(self) -> Index:
        """What was kept of documents that were read before."""
        from bench.documents.index import Index

        return Index(self.home)

    @cached_property
    def library(self) -> Library:
        """The documents, shipped and the maker's own."""
        from bench.documents.library import Library

        return Library(self.given)

    @cached_property
    def home(self) -> Path:
        """The data folder, whether it is there or not."""
        return self.folders.home

    @cached_property
    def settings(self) -> Settings:
        """The settings; the usual ones, with a warning, where the file is wrong."""
        from bench.documents.index import stamp_of
        from bench.documents.settings import read_settings

        self._settings_stamp = stamp_of(self.home / "settings.toml")
        settings, self.settings_wrong = read_settings(self.home)
        self.warn(self.settings_wrong)
        return settings

    def read_settings_again(self) -> bool:
        """Read the settings anew if their file has changed since; return whether it has."""
        from bench.documents.index import stamp_of

        if stamp_of(self.home / "settings.toml") == self._settings_stamp:
            return False
        if self.settings_wrong in self.warnings:
            self.warnings.remove(self.settings_wrong)
        del self.settings
        return bool(self.settings)

    def stamps(self) -> tuple[object, ...]:
        """The stamps of the maker's own documents: they differ once one of them has changed."""
        from bench.documents.index import stamp_of

        own = ("patterns", "patterns/structures", "commissions")
        files = [self.home / "settings.toml", self.home / "stock.toml"]
        for folder in own:
            with suppress(OSError):
                files += sorted((self.home / folder).glob("*.toml"))
        return tuple((str(file), stamp_of(file)) for file in files)

    @property
    def journal_path(self) -> Path:
        """The journal's file."""
        return self.home / "journal.db"

    def warn(self, *sentences: str | None) -> None:
        """Note what the maker should know beside the answer; nothing for what is empty."""
        self.warnings += filter(None, sentences)

    def work_up(self, name: str, size: str | None, colourway: str | None) -> WorkedPattern:
        """Work up a pattern, named or in a file, as measured pieces have corrected it.

        Where no journal is held, what cannot be read and what to know of the pattern are warnings.
        """
        from bench.documents.stock import weighed_in_stock
        from bench.making.calibration import calibration_of, read_calibration
        from bench.making.worked_pattern import WorkedPattern

        stem = self.library.pattern_path(name).stem
        in_stock, wrong = weighed_in_stock(self.home, self.settings.stand.scale_g)
        chosen = (self.settings, stem, size, colourway, in_stock)
        if self.journal is not None:
            calibration = calibration_of(self.journal, *chosen)
            return WorkedPattern.from_library(
                self.library, self.settings, name, size, colourway, calibration
            )
        calibration, trouble = read_calibration(self.home, *chosen)
        made = WorkedPattern.from_library(
            self.library, self.settings, name, size, colourway, calibration
        )
        self.warn(wrong, trouble, *made.warnings)
        return made

    def warn_of_odd_files(self) -> None:
        """Warn of what lies where figures are kept and is no file."""
        from bench.journal.regular_file import NotAFile, check_regular

        for name in KEPT:
            try:
                check_regular(self.home / name)
            except NotAFile as other:
                self.warn(f"{other.filename}: {other.sentence}; take it away")

    # The journal

    def hold_journal(self, wait_s: float) -> None:
        """Open the journal for a sitting, to write; only to read where another program holds it."""
        from bench.journal.errors import JournalError, Locked
        from bench.journal.store import Journal

        path, clock = self.journal_path, self.clock
        self.warn_of_odd_files()
        try:
            try:
                self.journal = Journal.open(
                    path, write=True, clock=clock, even_unsaved=True, wait_s=wait_s
                )
                self.warn(*self.journal.reports)
                self._look_for_kept(self.journal)
            except Locked as locked:
                self.looking_on = str(locked)
                self.warn(self.looking_on)
                self.journal = Journal.open(path, write=False, clock=clock)
        except JournalError as error:
            self.warn(str(error))
        self._follow_pace()

    def _follow_pace(self) -> None:
        from bench.timing.pace_service import LivePace

        keep = not self.looking_on
        self.live_pace = LivePace(self.journal, self.clock, self.library, keep=keep)

    def take_over(self) -> bool:
        """Where the sitting looks on: open the journal to write, if no other program holds it."""
        from bench.journal.errors import JournalError
        from bench.journal.store import Journal

        try:
            journal = Journal.open(
                self.journal_path, write=True, clock=self.clock, even_unsaved=True
            )
        except JournalError:
            return False
        if self.journal is not None:
            self.journal.close()
        self.journal, self.looking_on = journal, ""
        self._follow_pace()
        self._look_for_kept(journal)
        return True

    def _look_for_kept(self, journal: Journal) -> None:
        self.kept = self.kept_aside(journal)
        self.warn(
            *(
                f"{file} has what could not be saved and cannot be read: look at it, then move it"
                for file in self.kept.unreadable
            )
        )

    def take_in(self) -> TakenIn:
        """Take in what commands have left while this sitting holds the journal to write."""
        from bench.journal.inbox import TakenIn, take_in

        if self.journal is None or self.looking_on:
            return TakenIn()
        return take_in(self.journal, self.home)

    def kept_aside(self, journal: Journal) -> Kept:
        """Look for what could not be saved when the program ended, and is not in the journal."""
        from bench.journal.rescue import folders_for, kept_for

        return kept_for(journal, folders_for(self.home))

    def take_in_kept(self) -> tuple[str, ...]:
        """Take in what was kept aside; return what to tell. Raises JournalError: it stays aside."""
        from bench.journal.rescue import take_in_kept

        if self.journal is None or self.kept is None:
            return ()
        told = take_in_kept(self.journal, self.kept)
        self.kept = None
        return told

    def sqlite_news(self) -> str:
        """What is wrong with this SQLite, the first time that it is met in this data folder."""
        from bench.journal.sqlite_version import VERSION, fault_of

        key = f"told of SQLite {VERSION}"
        if not fault_of() or self.index.get(key):
            return ""
        self.index.put(key, True, ())
        return f"SQLite {VERSION} has a known fault that does no harm here; see braid-bench where"

    def another_reader(self) -> Journal:
        """Open the journal to read in another thread, with what this sitting has not saved yet."""
        from bench.journal.store import Journal

        if self.journal is not None:
            return self.journal.another_reader()
        return Journal.open(self.journal_path, write=False)

    @contextmanager
    def reading(self) -> Iterator[Journal]:
        """Open the journal to read; a missing one reads as empty."""
        from bench.journal.store import Journal

        self.warn_of_odd_files()
        with Journal.open(self.journal_path, write=False) as journal:
            yield journal

    @contextmanager
    def writing(self) -> Iterator[Journal]:
        """Open the journal to write; what was done about damage is a warning."""
        from bench.journal.inbox import take_in
        from bench.journal.store import Journal

        with Journal.open(self.journal_path, write=True, wait_s=WAIT_S) as journal:
            self.warn(*journal.reports, *take_in(journal, self.home).refusals)
            known = len(journal.reports)
            yield journal
            self.warn(*journal.reports[known:])

    # Times

    @cached_property
    def pace_service(self) -> PaceService:
        """The pace of the journal's finished pieces."""
        from bench.timing.pace_service import PaceService

        return PaceService(self.journal_path, self.library, keep=True)

    def times(self, journal: Journal) -> FinishedPieces:
        """Read what every finished piece took; whose times cannot be used is a warning."""
        finished = self.pace_service.finished
        finished.read_all(journal, tell=_tell_many)
        self._warn_of_times(finished)
        return finished

    def pace(self, journal: Journal, now_s: float) -> FittedPace:
        """Say what finished pieces tell of the pace; those that cannot be used are a warning."""
        found = self.pace_service.fitted(journal, now_s, _tell_many)
        self._warn_of_times(found)
        return found

    def pace_and_times(
        self, journal: Journal, known_as: Iterable[str], now_s: float
    ) -> tuple[FittedPace, list[PieceTimes]]:
        """Say the pace as `pace` does, and the times of a commission's finished pieces.

        `known_as`: the commission's id, and the names that its file has or had.
        """
        pace, finished = self.pace(journal, now_s), self.pace_service.finished
        own = (piece for key in known_as for piece in pace.commissions.get(key, ()))
        finished.read_these(journal, own)
        return pace, list(finished.pieces.values())

    def renew_figures(self) -> None:
        """Work the pace out anew after pieces were written down, and keep it."""
        with self.reading() as journal:
            self.pace_service.fitted(journal, time.time(), _tell_many)

    def _warn_of_times(self, book: FinishedPieces | FittedPace) -> None:
        self.warn_of_lost(book.lost)
        self.warn(book.left_out)

    def warn_of_lost(self, patterns: Iterable[str]) -> None:
        """Warn of patterns that times were typed in for and that are not there."""
        self.warnings += (
            f"times of '{name}' are left out: there is no such pattern in the library"
            for name in sorted(patterns)
        )


def _tell_many(pieces: int) -> None:
    if pieces > MANY:
        print(
            f"braid-bench: reading the times of {pieces:,} finished pieces; that is done once",
            file=sys.stderr,
            flush=True,
        )
