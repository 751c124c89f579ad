"""Giving a piece in the making up from the lists: why, and what is said of it."""

from __future__ import annotations

from bench.journal.errors import JournalError
from bench.making.piece_verdicts import give_up
from bench.making.reasons import FROM_THE_LIST, reasons_of
from bench.screens.kit.reason_entry import ReasonEntry
from bench.screens.lists.companion import ListsCompanion


def ask_to_give_up(companion: ListsCompanion, piece: str, name: str) -> ReasonEntry:
    """The page that asks why a piece is given up; the answer gives it up."""

    def keep(reason: str | None) -> None:
        assert companion.journal is not None
        try:
            give_up(companion.journal, piece, reason or FROM_THE_LIST)
            said = f"{name} is given up."
        except JournalError as error:
            said = str(error)
        companion.pace.touch(piece)
        companion.fill_home()
        companion.say_on_list(said)

    asks = f"{name} is given up and leaves this list. Why?"
    return ReasonEntry(companion, asks, reasons_of(companion.journal), keep)
