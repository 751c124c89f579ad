"""Another bench: events given out as a file, and those of another one taken in."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path

from bench.commission.elsewhere import take_over, without_file
from bench.commission.lot_refs import given_anew, told_anew
from bench.commission.versions import Version
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.errors import DocumentError
from bench.journal.regular_file import NotAFile, open_regular
from bench.journal.store import Journal
from bench.journal.transfer import ImportRefused, export_jsonl, import_jsonl
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import readable, writable
from bench.screens.lists.written_sheets import FOLDER, WrittenSheet, short, write_sheet

ENDING = ".jsonl"
FILE_ASKS = "The file that the other bench gave out, with its folder: ~/Downloads/bench-1a2b.jsonl"
MOST_FILES = 4
"""Files that are offered without typing, the newest ones."""


class BenchesScreen(FormScreen):
    """Gives out and takes in; what is there already stays as it is."""

    keeps = ""
    heading = "another bench"

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.new: dict[str, Version] = {}
        self.to_know: Sequence[str] = ()
        """What is to be known of what was taken in last."""
        self.files: Sequence[Path] = ()
        """Files that other benches may have given out."""

    def on_screen_resume(self) -> None:
        """Look for what has come meanwhile."""
        self._look()
        super().on_screen_resume()

    def _look(self) -> None:
        journal = self.companion.journal
        self.new = {} if journal is None else without_file(journal, self.companion.library)
        self.files = tuple(self._files())

    def rows(self) -> Sequence[FormRow]:
        """Out, in, the files that lie about, and the orders that came in."""
        return (
            FormRow("give out", "all events, without customers' names", opens=self._give),
            FormRow("take in", "a file of another bench, by its name", typed=self._take,
                    asks=FILE_ASKS),
            *(
                FormRow("take in", f"{file.name}, in {short(file.parent)}",
                        opens=partial(self._take, str(file)))
                for file in self.files
            ),
            *(
                FormRow(name, f"{version.commission.title}: ENTER puts this order on the list",
                        opens=partial(self._take_over, name, version))
                for name, version in self.new.items()
            ),
        )  # fmt: skip

    def below(self) -> Sequence[str]:
        """What a merge does."""
        return (
            *(f"! {said}" for said in self.to_know),
            "Each bench gives out a file and takes in that of the other one: pieces, hours, tubes"
            " and orders. Taken in twice it counts once, in whatever order. An order that came in"
            " stands here then, and ENTER puts it on the list; where both benches changed one, its"
            " page shows both.",
            "Patterns of your own and settings are files: copy those by hand, or unpack a backup.",
        )

    def _files(self) -> Iterator[Path]:
        """What other benches may have given out, in the usual folders, the newest first."""
        folders = (self.companion.library.home / FOLDER, Path.home() / "Downloads")
        journal = self.companion.journal
        own = "" if journal is None else _given_name(journal)
        found: list[tuple[float, Path]] = []
        for folder in folders:
            with suppress(OSError):
                found += [(file.stat().st_mtime, file) for file in folder.glob(f"*{ENDING}")
                          if file.name != own]  # fmt: skip
        yield from (file for _, file in sorted(found, reverse=True)[:MOST_FILES])

    def _give(self) -> None:
        journal = readable(self.companion)
        text = io.StringIO()
        count = export_jsonl(journal, text, customers=False)
        name = _given_name(journal)
        write_sheet(self.companion, WrittenSheet("", "", name, text.getvalue))
        where = short(self.companion.library.home)
        self.said = f"{plural(count, 'event')} are in {FOLDER}/{name}, in {where}"

    def _take(self, typed: str) -> None:
        journal, path = writable(self.companion), Path(typed.strip()).expanduser()
        before = given_anew(journal)
        try:
            with io.TextIOWrapper(open_regular(path), encoding="utf-8") as text:
                merged = import_jsonl(journal, text, now=self.companion.clock.now().wall)
        except ImportRefused as refused:
            raise Fault(f"Nothing was taken in: {refused.problems[0]}") from None
        except NotAFile as other:
            raise Fault(f"{short(path)}: {other.sentence}") from None
        except (OSError, UnicodeDecodeError) as error:
            reason = getattr(error, "strerror", None) or "it is no text"
            raise Fault(f"{short(path)} cannot be read ({reason})") from None
        for state in journal.pieces(open_only=False):
            self.companion.pace.touch(state.uuid)
        self.companion.fill_home()
        self._look()
        self.said = f"{plural(merged.added, 'event')} taken in, {merged.known} there already"
        self.to_know = (*merged.warnings, *told_anew(before, given_anew(journal)))

    def _take_over(self, name: str, version: Version) -> None:
        try:
            take_over(readable(self.companion), self.companion.library, name, version)
        except DocumentError as error:
            raise Fault(str(error)) from None
        self.companion.fill_home()
        self._look()
        self.picked, self.said = 0, f"{version.commission.title} is on the list."


def _given_name(journal: Journal) -> str:
    """What the file is called that a bench gives out: two of them can lie in one folder."""
    return f"bench-{journal.bench[:6]}{ENDING}"
