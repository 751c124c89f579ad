"""Another bench: events given out as a file, and those of another one taken in."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from bench.commission.elsewhere import take_over, without_file
from bench.commission.lot_refs import given_anew, told_anew
from bench.commission.versions import Version
from bench.craft.text import Fault
from bench.craft.words import plural
from bench.documents.errors import DocumentError
from bench.journal.regular_file import NotAFile, open_regular
from bench.journal.transfer import ImportRefused, export_jsonl, import_jsonl
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.form import FormRow, FormScreen
from bench.screens.lists.shop_writing import readable, writable
from bench.screens.lists.written_sheets import FOLDER, WrittenSheet, short, write_sheet

NAME = "this-bench.jsonl"
FILE_ASKS = "The file that the other bench gave out, with its folder: ~/Downloads/this-bench.jsonl"


class BenchesScreen(FormScreen):
    """Gives out and takes in; what is there already stays as it is."""

    keeps = ""
    heading = "another bench"

    def __init__(self, companion: ListsCompanion) -> None:
        super().__init__(companion)
        self.new: dict[str, Version] = {}
        self.to_know: Sequence[str] = ()
        """What is to be known of what was taken in last."""
        self._look()

    def _look(self) -> None:
        journal = self.companion.journal
        self.new = {} if journal is None else without_file(journal, self.companion.library)

    def rows(self) -> Sequence[FormRow]:
        """Out, in, and the orders that came in."""
        return (
            FormRow("give out", "all events, without customers' names", opens=self._give),
            FormRow("take in", "a file of another bench", typed=self._take, asks=FILE_ASKS),
            *(
                FormRow(name, f"an order of another bench: {version.commission.title}",
                        opens=partial(self._take_over, name, version))
                for name, version in self.new.items()
            ),
        )  # fmt: skip

    def below(self) -> Sequence[str]:
        """What a merge does."""
        return (
            *(f"! {said}" for said in self.to_know),
            "Each bench gives out a file and takes in that of the other one. Taken in twice it"
            " counts once, in whatever order. Where both changed an order its page shows both.",
        )

    def _give(self) -> None:
        journal = readable(self.companion)
        text = io.StringIO()
        count = export_jsonl(journal, text, customers=False)
        write_sheet(self.companion, WrittenSheet("", "", NAME, text.getvalue))
        where = short(self.companion.library.home)
        self.said = f"{plural(count, 'event')} are in {FOLDER}/{NAME}, in {where}"

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
