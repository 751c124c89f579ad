"""What an order says on its page, and what a change of it means for days and beads."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from bench.answers.commission import CommissionAnswer
from bench.answers.money import Letter
from bench.answers.needs import NeedsAnswer
from bench.commission.account import Account, read_account
from bench.commission.again import begun_again
from bench.commission.book import CommissionBook, new_book, open_book
from bench.commission.commission_answer import commission_answer
from bench.commission.identity import LONGEST, free_name, new_lot_id
from bench.commission.money import shown
from bench.commission.money_answers import Ways, account_answer, letter_of
from bench.commission.pieces import read_pieces, to_be_told, waits_for_sample
from bench.commission.progress import CommissionProgress
from bench.commission.versions import differences
from bench.craft.text import Fault
from bench.documents.commission import Commission, Lot
from bench.documents.library import Library
from bench.journal.clock import Instant
from bench.journal.store import Journal
from bench.screens.kit.canvas import wrap
from bench.screens.lists.commission_page import date, hours
from bench.screens.lists.companion import ListsCompanion
from bench.screens.lists.surety_words import by_weeks, holds
from bench.screens.lists.written_sheets import short
from bench.sheets.account import account_lines
from bench.sheets.commission import commission_lines
from bench.sheets.words import headed

BY_PAGE = Ways(
    undo_acceptance="7 shop, money, its last line",
    lot_price="6 order, ENTER, the lot's own page",
    sheet="7 shop, money: P prints a sheet for that, the line “the change” keeps that it is",
)
"""The ways of warnings on pages."""
UNTITLED = "A new commission"


def order_lines(
    journal: Journal, companion: ListsCompanion, book: CommissionBook
) -> Callable[[int], Sequence[str]]:
    """The order and its money as lines of a width. Raises as reading it does."""
    money = read_account(journal, book.id, book.commission, book.history)
    told = _with_agreed(commission_answer(book, book.commission, (), waits=False), money)
    owed = account_answer(
        book, money, companion.settings.work.currency, letter_now(companion), ways=BY_PAGE
    )
    said = [*told.warnings, *owed.warnings]
    for version in book.elsewhere:
        what = "; ".join(differences(book.commission, book.joined(version)))
        said.append(
            f"another bench has, as of {version.day}: {what}. ENTER, its first line takes it"
        )

    file = short(book.file) if book.stamp is not None else "comes with the program"

    def lines(width: int) -> Sequence[str]:
        warned = [part for one in said for part in wrap(f"! {one}", width)]
        return [
            *warned,
            *commission_lines(told, width)[2:],
            "",
            *account_lines(owed, width)[2:],
            "",
            *headed("FILE", f"{book.name}: {file}", width=width),
        ]

    return lines


def letter_now(companion: ListsCompanion) -> Letter:
    """Who writes to a customer, and that it is today."""
    return letter_of(companion.settings.shop, dt.date.today())


def _with_agreed(told: CommissionAnswer, money: Account) -> CommissionAnswer:
    """The order with the prices that were accepted."""
    each = {line.lot: shown(line.each) for line in money.lines}
    lots = tuple(replace(lot, price=each.get(lot.id, lot.price)) for lot in told.lots)
    return replace(told, lots=lots)


def money_words(now: Account) -> str:
    """What is agreed, received and still to pay; "" before an offer is accepted."""
    if now.acceptance is None or now.due is None or now.to_pay is None:
        return ""
    currency = now.acceptance.said.currency
    how = "agreed" if now.is_agreed else "due, not agreed on yet"
    left = f"{shown(now.to_pay)} to pay"
    if now.to_pay < 0:
        left = f"{shown(-now.to_pay)} to give back"
    return f"{shown(now.due.gross)} {currency} {how}; {shown(now.received)} received, {left}"


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


def begun_from(
    companion: ListsCompanion, book: CommissionBook, lot: Lot | None = None
) -> CommissionBook:
    """A new order with a lot of another one, else its first, under a name that is free."""
    stem = re.sub(r"-\d+$", "", book.name)
    name = _free_name(companion.library, stem)
    like = lot or book.commission.lots[0]
    number = name.removeprefix(stem).removeprefix("-")
    title = f"{book.commission.title[:50]} {number}".rstrip()
    return begun_again(companion.library, book, like, name, title)


def new_order(library: Library) -> CommissionBook:
    """A new order of one piece, the first pattern's, to be changed. Raises Fault without one."""
    patterns = [entry.name for entry in library.patterns()]
    if not patterns:
        raise Fault("There is no pattern yet: N on the list draws one.")
    first = Lot(id=new_lot_id(), name="Lot 1", pattern=patterns[0], pieces=1)
    bare = Commission(format=1, title=UNTITLED, lots=(first,))
    return new_book(library, _free_name(library, "order"), bare)


def named_after(library: Library, draft: Commission) -> CommissionBook:
    """The book of a new order whose file is called after its title."""
    bare = unicodedata.normalize("NFKD", draft.title).encode("ascii", "ignore").decode().lower()
    words = re.findall(r"[a-z0-9]+", bare)
    stem = words[0][:LONGEST] if words else "order"
    for word in words[1:]:
        if len(stem) + 1 + len(word) > LONGEST:
            break
        stem += f"-{word}"
    return new_book(library, _free_name(library, stem), draft)


def _free_name(library: Library, stem: str) -> str:
    return free_name({entry.name for entry in library.commissions()}, stem)


def ahead_lines(
    before: CommissionProgress | None, after: CommissionProgress, needs: NeedsAnswer, now: Instant
) -> list[str]:
    """What a changed order means: when it is done and how surely, and which beads fall short."""
    found = list(_days(before, after, now))
    found += needs.mixing
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
    to_come = hours(after.to_come.quantile(0.5))
    was = to_come if before is None else hours(before.to_come.quantile(0.5))
    ahead = f"{to_come} h" + (f", in place of {was}," if was != to_come else "")
    yield f"done about {middle} ({ahead} to come) {by_weeks(after)}, {sure} {low} and {high}"
    today = now.day
    held = _held(after, today)
    if held:
        was = "" if before is None else _held(before, today)
        as_kept = f"; as it is kept now: {was}" if was and was != held else ""
        condition = f" {by_weeks(after)}" if after.weeks.is_set else ""
        yield _held(after, today, condition) + as_kept


def _held(found: CommissionProgress, today: dt.date, condition: str = "") -> str:
    due = found.commission.due
    if due is None or found.late is None:
        return ""
    if due < today:
        return f"{due} is past"
    if found.is_guess:
        days = (due - today).days
        seems = found.finish is None or found.finish.median_days <= days
        return f"by a guess (no piece is timed) {due} {'holds' if seems else 'does not hold'}"
    return f"{due} holds with {_chance(1 - found.late)}{condition}"


def _chance(chance: float) -> str:
    """A chance in hundredths; none is told as certain."""
    if chance > 0.99:
        return "over 99%"
    return "under 1%" if chance < 0.01 else f"{chance:.0%}"
