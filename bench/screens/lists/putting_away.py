"""A key of the first list puts an order away that is over, and calls it back."""

from __future__ import annotations

import datetime as dt

from bench.commission.book import open_book
from bench.commission.putting_away import calling_back, put_away, putting_away
from bench.craft.text import Fault
from bench.documents.errors import DocumentError
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.shop_writing import writable, write


def turn_away(companion: ListsCompanion, name: str) -> str:
    """Put the order of a file's name away, or call it back; return what is told of it."""
    key = companion.keys.name("give_up")
    try:
        journal = writable(companion)
        book = open_book(companion.library, journal, name)
        if name in put_away(journal, companion.library):
            write(companion, book, (calling_back(book, dt.date.today()), book.id, None))
            return f"{book.commission.title} is back among the commissions."
        write(companion, book, (putting_away(journal, book, dt.date.today()), book.id, None))
    except (DocumentError, Fault) as error:
        return str(error)
    return f"{book.commission.title} is put away: at the list's end {key} calls it back."
