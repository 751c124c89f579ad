"""Writes down at once what a line of a shop's page says."""

from __future__ import annotations

import datetime as dt

from bench.commission.book import CommissionBook
from bench.craft.text import Fault
from bench.journal.events import Entry
from bench.journal.payload_base import Payload
from bench.screens.lists.companion import ListsCompanion


def write(
    companion: ListsCompanion,
    book: CommissionBook | None,
    *said: tuple[Payload, str, str | None],
) -> None:
    """Write payloads, each about a subject and of a lot or none. Raises Fault where it cannot be.

    `book`: of the commission that they belong to, so that its first version is kept before them.
    """
    if companion.journal is None or companion.cannot_write:
        raise Fault(companion.cannot_write)
    first = () if book is None else book.first(dt.date.today())
    companion.journal.append_many([*first, *(Entry(*one) for one in said)])


def typed_number(text: str, what: str) -> float:
    """A number that was typed. Raises Fault for anything below zero, and for no number."""
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0 <= value < 1e9:
        hint = " (write 1.5, not 1,5)" if "," in text else ""
        raise Fault(f"{what} takes a number; '{text}' is none{hint}")
    return value
