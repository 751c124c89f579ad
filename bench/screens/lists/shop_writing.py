"""Writes down at once what a line of a shop's page says."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace

from bench.commission.book import CommissionBook
from bench.commission.versions import read_history
from bench.craft.text import Fault
from bench.journal.errors import NotSaved
from bench.journal.events import Entry
from bench.journal.payload_base import Payload
from bench.journal.store import Journal
from bench.screens.lists.companion import ListsCompanion


def readable(companion: ListsCompanion) -> Journal:
    """The journal, to read. Raises Fault where there is none."""
    if companion.journal is None:
        raise Fault(companion.cannot_write)
    return companion.journal


def writable(companion: ListsCompanion) -> Journal:
    """The journal, to write to. Raises Fault where nothing can be written."""
    if companion.journal is None or companion.cannot_write:
        raise Fault(companion.cannot_write)
    return companion.journal


def append(journal: Journal, entries: Sequence[Entry]) -> None:
    """Append entries; what cannot be saved counts all the same, and every screen says so."""
    with suppress(NotSaved):
        journal.append_many(entries)


def write(
    companion: ListsCompanion,
    book: CommissionBook | None,
    *said: tuple[Payload, str, str | None],
) -> None:
    """Write payloads, each about a subject and of a lot or none. Raises Fault where it cannot be.

    `book`: of the commission that they belong to, so that its first version is kept before them.
    """
    journal = writable(companion)
    first: Sequence[Entry] = ()
    if book is not None:
        # Its first version may have been kept since the page was opened.
        history = read_history(journal, book.id)
        first = replace(book, history=history).first(dt.date.today())
    append(journal, [*first, *(Entry(*one) for one in said)])
