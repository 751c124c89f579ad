"""What an order says on its page, and what a change of it means for days and beads."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Sequence

from bench.answers.needs import NeedsAnswer
from bench.commission.account import read_account
from bench.commission.book import CommissionBook, new_book, open_book
from bench.commission.changing import with_values
from bench.commission.commission_answer import commission_answer
from bench.commission.identity import new_lot_id
from bench.commission.money_answers import account_answer
from bench.commission.pieces import read_pieces, to_be_told, waits_for_sample
from bench.commission.progress import CommissionProgress
from bench.journal.clock import Instant
from bench.journal.store import Journal
from bench.screens.lists.commission_page import date
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.surety_words import by_weeks, holds
from bench.sheets.account import account_lines
from bench.sheets.commission import commission_lines

ROOM = 78


def order_lines(journal: Journal, companion: ListsCompanion, name: str) -> Sequence[str]:
    """The order and its money as lines. Raises DocumentError or Fault as reading it does."""
    book = open_book(companion.library, journal, name)
    told = commission_answer(book, book.commission, (), waits=False)
    money = read_account(journal, book.id, book.commission, book.history)
    owed = account_answer(book, money, companion.settings.work.currency)
    said = [*told.warnings, *owed.warnings]
    return [*said, *commission_lines(told, ROOM)[2:], "", *account_lines(owed, ROOM)[2:]]


def before_loading(journal: Journal, companion: ListsCompanion, name: str) -> list[str]:
    """What is to be told before pieces of a commission are loaded."""
    book = open_book(companion.library, journal, name)
    said = to_be_told(read_account(journal, book.id, book.commission, book.history))
    return [said] if said else []


def sample_awaited(journal: Journal, book: CommissionBook, lot: int) -> str:
    """Why a further piece of a lot is not to be begun yet; "" if it can be.

    Lots of an order that is not accepted wait for nothing.
    """
    account = read_account(journal, book.id, book.commission, book.history)
    if account.acceptance is None:
        return ""
    return waits_for_sample(read_pieces(journal, book), book.commission.lots[lot])


def begun_from(companion: ListsCompanion, book: CommissionBook) -> CommissionBook:
    """A new order with the first lot of another one, under a name that is free."""
    known = {entry.name for entry in companion.library.commissions()}
    stem = re.sub(r"-\d+$", "", book.name)[:32]
    name = next(f"{stem}-{n}" for n in range(2, 10_000) if f"{stem}-{n}" not in known)
    lot = book.commission.lots[0].model_copy(update={"id": new_lot_id(), "pieces": 1, "due": None})
    title = f"{book.commission.title[:50]} {name.rsplit('-')[-1]}"
    bare = with_values(
        book.commission, id=None, title=title, whom="", due=None, lots=[lot.model_dump()]
    )
    return new_book(companion.library, name, bare)


def ahead_lines(
    before: CommissionProgress | None, after: CommissionProgress, needs: NeedsAnswer, now: Instant
) -> list[str]:
    """What a changed order means: when it is done and how surely, and which beads fall short."""
    found = list(_days(before, after, now))
    found += [said for said in needs.warnings if "dye lot" in said]
    found += [f"to buy: {said}" for said in needs.short]
    return found


def _days(
    before: CommissionProgress | None, after: CommissionProgress, now: Instant
) -> Iterator[str]:
    if after.finish is None:
        yield "every piece of it is made"
        return
    low, middle, high = (
        date(now, days)
        for days in (after.finish.low_days, after.finish.median_days, after.finish.high_days)
    )
    sure = holds(is_guess=after.is_guess)
    yield f"done about {middle} {by_weeks(after)}, {sure} {low} and {high}"
    held = _held(after)
    if held:
        was = "" if before is None else _held(before)
        as_kept = f"; as it is kept now: {was}" if was and was != held else ""
        condition = f" {by_weeks(after)}" if after.weeks.is_set else ""
        yield _held(after, condition) + as_kept


def _held(found: CommissionProgress, condition: str = "") -> str:
    due = found.commission.due
    if due is None or found.late is None:
        return ""
    if due < dt.date.today():
        return f"{due} is past"
    if found.is_guess:
        return f"whether {due} holds is not known before a piece is timed"
    return f"{due} holds with {1 - found.late:.0%}{condition}"
