"""What a command has at hand: the library, the settings and the journal of one home."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bench.documents.library import Library
    from bench.documents.settings import Settings
    from bench.journal.store import Journal
    from bench.making.worked_pattern import WorkedPattern
    from bench.timing.finished_pieces import TimeBook
    from bench.timing.kept_pace import PaceBook

MANY = 300
"""Finished pieces to read from which the maker is told that it takes a while: about a second."""
WAIT_S = 2.0
"""How long a command that writes waits for another program to let go of the journal."""


class Session:
    """One maker's data folder; each thing is read when a command first asks for it.

    warnings: what the maker should know beside the answer, one sentence each.
    """

    def __init__(self, home: Path | None) -> None:
        self.given = home
        self.warnings: list[str] = []

    @cached_property
    def library(self) -> Library:
        """The documents, shipped and the maker's own."""
        from bench.documents.library import Library

        return Library(self.given)

    @cached_property
    def home(self) -> Path:
        """The data folder, whether it is there or not."""
        return self.library.home

    @cached_property
    def settings(self) -> Settings:
        """The settings; the usual ones, with a warning, where the file is wrong."""
        from bench.documents.settings import read_settings

        settings, wrong = read_settings(self.home)
        if wrong is not None:
            self.warnings.append(wrong)
        return settings

    @property
    def journal_path(self) -> Path:
        """The journal's file."""
        return self.home / "journal.db"

    def work_up(self, args: argparse.Namespace) -> WorkedPattern:
        """Work up the pattern that the command names, as measured pieces have corrected it."""
        from bench.documents.stock import weighed_in_stock
        from bench.making.calibration import read_calibration
        from bench.making.worked_pattern import work_up

        path = self.library.pattern_path(args.pattern)
        in_stock, wrong = weighed_in_stock(self.home, self.settings.stand.scale_g)
        calibration, trouble = read_calibration(
            self.home, self.settings, path.stem, args.size, args.colourway, in_stock
        )
        self.warnings += [text for text in (wrong, trouble) if text]
        made = work_up(
            self.library, self.settings, args.pattern, args.size, args.colourway, calibration
        )
        self.warnings += made.warnings
        return made

    def times(self, journal: Journal) -> TimeBook:
        """Read what every finished piece took; whose times cannot be used is a warning."""
        from bench.timing.finished_pieces import TimeBook

        book = TimeBook(self.journal_path, self.library, keep=True)
        book.read_all(journal, tell=_tell_many)
        self._tell(book)
        return book

    def pace(self, journal: Journal, now_s: float) -> PaceBook:
        """Say what finished pieces tell of the pace; those that cannot be used are a warning."""
        from bench.timing.finished_pieces import TimeBook
        from bench.timing.kept_pace import pace_book

        book = TimeBook(self.journal_path, self.library, keep=True)
        found = pace_book(journal, self.library, book, now_s, _tell_many)
        self._tell(found)
        return found

    def renew_figures(self) -> None:
        """Work the pace out anew after pieces were written down, and keep it."""
        from bench.timing.finished_pieces import TimeBook
        from bench.timing.kept_pace import pace_book

        with self.reading() as journal:
            book = TimeBook(self.journal_path, self.library, keep=True)
            pace_book(journal, self.library, book, time.time(), _tell_many)

    def _tell(self, book: TimeBook | PaceBook) -> None:
        self.tell_lost(book.lost)
        if book.left_out:
            self.warnings.append(book.left_out)

    def tell_lost(self, patterns: Iterable[str]) -> None:
        """Warn of patterns that times were typed in for and that are not there."""
        self.warnings += (
            f"times of '{name}' are left out: there is no such pattern in the library"
            for name in sorted(patterns)
        )

    @contextmanager
    def reading(self) -> Iterator[Journal]:
        """Open the journal to read; a missing one reads as empty."""
        from bench.journal.store import Journal

        with Journal.open(self.journal_path, write=False) as journal:
            yield journal

    @contextmanager
    def writing(self) -> Iterator[Journal]:
        """Open the journal to write; what was done about damage is a warning."""
        from bench.journal.store import Journal

        with Journal.open(self.journal_path, write=True, wait_s=WAIT_S) as journal:
            self.warnings += journal.reports
            known = len(journal.reports)
            yield journal
            self.warnings += journal.reports[known:]


def _tell_many(pieces: int) -> None:
    if pieces > MANY:
        print(
            f"braid-bench: reading the times of {pieces:,} finished pieces; that is done once",
            file=sys.stderr,
            flush=True,
        )


def pattern_arguments(parser: argparse.ArgumentParser, *, optional: bool = False) -> None:
    """Declare what every command about a pattern takes."""
    parser.add_argument(
        "pattern",
        metavar="PATTERN",
        nargs="?" if optional else None,
        help="a pattern's name in the library, or its file",
    )
    parser.add_argument("--size", metavar="SIZE", help="one of the pattern's sizes")
    parser.add_argument("--colourway", metavar="COLOURWAY", help="one of its colourways")
