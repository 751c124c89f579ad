"""What is due: the offer, the changes since, and the money that moved."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Literal

from hypothesis import given
from hypothesis import strategies as st

from bench.commission.account import Acceptance, Account, DueLine, Movement, due_lines
from bench.commission.changing import excess
from bench.commission.lot_number import Settled, to_make
from bench.commission.part_deliveries import parts_of
from bench.commission.versions import History, Version
from bench.documents.commission import Commission, Lot
from bench.journal.commission_payloads import AgreedLot, MoneyMoved, Move, OfferAccepted, Surplus

KEYS = ["aaaa", "bbbb", "cccc", "dddd"]
COUNTS = st.dictionaries(st.sampled_from(KEYS), st.integers(1, 40), min_size=1)
Goes = Literal["charged", "stock"]
CHANGES = st.lists(
    st.tuples(st.integers(1, 12), st.integers(0, 4), st.sampled_from(["charged", "stock"])),
    max_size=6,
)
"""A count, so many pieces made after it was agreed, and where what is too many goes."""


@given(COUNTS, COUNTS, st.dictionaries(st.sampled_from(KEYS), st.integers(1, 5)), st.data())
def test_offer_and_changes_are_what_is_due(
    offered: dict[str, int], now: dict[str, int], charged: dict[str, int], data: st.DataObject
) -> None:
    """Whatever lots change, come, go or are charged beyond their count, no cent is lost."""
    price = {key: data.draw(st.decimals(0, 500, places=2)) for key in KEYS}
    agreed = [AgreedLot(key, key, pieces, str(price[key])) for key, pieces in offered.items()]
    lots = [
        Lot(id=key, name=key, pattern="p", pieces=pieces, price=price[key])
        for key, pieces in now.items()
    ]
    settled = {key: Settled(more, 3) for key, more in charged.items()}
    lines = list(due_lines(agreed, lots, settled))
    due = sum((line.price for line in lines), Decimal(0))
    known = {key: more for key, more in charged.items() if key in offered or key in now}
    wanted = sum((price[key] * pieces for key, pieces in now.items()), Decimal(0))
    wanted += sum((price[key] * more for key, more in known.items()), Decimal(0))
    assert due == wanted
    before = sum((price[key] * pieces for key, pieces in offered.items()), Decimal(0))
    assert before + sum((line.change for line in lines), Decimal(0)) == due


def order(pieces: int) -> Commission:
    """An order of so many pieces."""
    lot = Lot(id="aaaa", name="Plum", pattern="p", pieces=pieces)
    return Commission(format=1, id="order", title="Curtain", lots=(lot,))


def kept(history: History, pieces: int, made: int, goes: Goes, over: Version | None) -> History:
    """The history with one version more, in which what is made beyond the count is settled."""
    new = order(pieces)
    settled = {} if over is None else history.settled(over.commission)
    old = order(1) if over is None else over.commission
    more = excess(old, new, {"aaaa": made}, settled, settled)
    version = Version(
        *(str(len(history.versions)), "curtain", "bench", 1),
        () if over is None else (over.event,),
        *(dt.date(2027, 1, 1), "", "app", new),
        tuple(Surplus("aaaa", one.more, goes) for one in more),
    )
    return History((*history.versions, version))


def standing(history: History) -> tuple[int, Settled]:
    """The count that was kept last, and what is settled beyond it."""
    commission = history.versions[-1].commission
    return commission.lots[0].pieces, history.settled(commission).get("aaaa", Settled())


@given(st.integers(1, 12), CHANGES)
def test_nobody_pays_for_a_piece_twice(begun: int, changes: list[tuple[int, int, Goes]]) -> None:
    """However often a count is lowered and raised: due is the count, or what is made beyond it.

    All that is too many charged, it is the larger of count and pieces made; all of it to stock, it
    is the count. What is due is what is made and still to be made of it.
    """
    for only in ("charged", "stock", None):
        history, made = kept(History(), begun, 0, "stock", None), 0
        for count, more, goes in changes:
            now, settled = standing(history)
            made = max(made, min(made + more, settled.promised(now)))
            where: Goes = only or goes
            history = kept(history, count, made, where, history.versions[-1])
            now, settled = standing(history)
            due = settled.promised(now)
            if only is not None:
                assert due == (max(now, made) if only == "charged" else now)
            assert now <= due <= max(now, made)
            assert settled.charged + settled.stock == max(0, made - now)
            assert to_make(order(now).lots[0], settled, made, 0) == max(0, due - made)


@given(st.integers(1, 7), st.integers(1, 7))
def test_two_benches_that_lower_a_count_speak_of_the_same_pieces(one: int, other: int) -> None:
    """Merged in either order, the seven that are made are charged once."""
    first = kept(History(), 8, 7, "charged", None)
    begun = first.versions[0]
    here = kept(first, one, 7, "charged", begun).versions[-1]
    there = kept(History((begun, begun)), other, 7, "charged", begun).versions[-1]
    for stands in (here, there):
        merged = [History(versions) for versions in ((begun, here, there), (begun, there, here))]
        (pieces,) = {h.settled(stands.commission).get("aaaa", Settled()).charged for h in merged}
        assert stands.commission.lots[0].pieces + pieces == 7


def test_spare_pieces_stay_spare() -> None:
    """Of seven that were made of five, one is too many once four are wanted, not three."""
    history = kept(History(), 5, 0, "charged", None)
    history = kept(history, 4, 7, "charged", history.versions[-1])
    assert standing(history) == (4, Settled(charged=1))


MOVES = st.lists(
    st.tuples(st.sampled_from(["deposit", "payment", "refund"]), st.integers(1, 90_000)),
    max_size=6,
)


def account(
    lines: list[tuple[int, int, int]], moves: list[tuple[Move, int]], terms: tuple[int, ...]
) -> Account:
    """An accepted order: (pieces, charged, each in cents) by lot; money that moved, in cents.

    Terms: design, boxes and deposit in cents; discount and tax in thousandths.
    """
    design, notions, deposit, discount, tax = (str(Decimal(value) / 100) for value in terms)
    due = tuple(
        DueLine(KEYS[at], KEYS[at], pieces, charged, Decimal(each) / 100, pieces)
        for at, (pieces, charged, each) in enumerate(lines)
    )
    said = OfferAccepted(
        *("2027-01-01", "EUR", (), design, notions, discount, "tax", tax, deposit),
        *(1.0, 2.0, 3.0),
    )
    moved = tuple(
        Movement(str(at), MoneyMoved(what, str(Decimal(cents) / 100), "EUR", "2027-01-02"))
        for at, (what, cents) in enumerate(moves)
    )
    return Account(Acceptance("accepted", said), due, (), moved, 0)


TERMS = st.tuples(*[st.integers(0, 20_000)] * 3, st.integers(0, 9_999), st.integers(0, 3_000))
LINES = st.lists(
    st.tuples(st.integers(0, 9), st.integers(0, 3), st.integers(1, 9_999)), min_size=1, max_size=4
)


@given(LINES, MOVES, TERMS)
def test_what_came_in_is_what_was_paid_less_what_went_back(
    lines: list[tuple[int, int, int]], moves: list[tuple[Move, int]], terms: tuple[int, ...]
) -> None:
    """A refund is never money received; of a deposit is missing what has not come in of it."""
    found = account(lines, moves, terms)
    cents = sum(-amount if what == "refund" else amount for what, amount in moves)
    assert found.received * 100 == cents
    assert found.deposit_missing * 100 == max(0, terms[2] - max(0, cents))
    assert found.due is not None
    assert found.to_pay == found.due.gross - found.received


@given(LINES, MOVES, TERMS, st.data())
def test_the_parts_add_up_to_the_whole(
    lines: list[tuple[int, int, int]],
    moves: list[tuple[Move, int]],
    terms: tuple[int, ...],
    data: st.DataObject,
) -> None:
    """To the cent, whatever is handed over on which day; also what is paid of each."""
    found = account(lines, moves, terms)
    whole = [(KEYS[at], n) for at, line in enumerate(lines) for n in range(line[0] + line[1])]
    beyond = [(KEYS[0], 100 + n) for n in range(data.draw(st.integers(0, 2)))]
    days = st.sampled_from(["2027-03-01", "2027-03-09", "2027-04-02", None])
    drawn = [(data.draw(days), lot, number) for lot, number in [*whole, *beyond]]
    handed = [(day, lot, number) for day, lot, number in drawn if day is not None]
    parts = parts_of(found, handed, {})
    assert found.due is not None
    assert [part.day for part in parts] == sorted({day for day, _, _ in handed})
    for part in parts:
        own = sum((line.price for line in part.lines), part.design + part.notions)
        assert own - part.discount + part.tax == part.due == part.paid + part.to_pay
    due = sum((part.due for part in parts), Decimal(0))
    assert due + (parts[-1].to_come if parts else found.due.gross) == found.due.gross
    assert sum(part.paid for part in parts) == min(due, max(Decimal(0), found.received))
    if parts and len(handed) == len(drawn):
        assert parts[-1].to_come == 0
    assert sum(line.pieces for part in parts for line in part.lines) == len(handed)


def test_what_was_charged_is_delivered() -> None:
    """Of seven that are paid for one is spoilt: it is made again, though the lot has five."""
    (lot,) = order(5).lots
    assert to_make(lot, Settled(charged=2), 6, 0) == 1
    assert to_make(lot, Settled(charged=2), 6, 1) == 0


def test_a_raised_count_takes_charged_pieces_first() -> None:
    """The customer pays for them already; those of finished stock come after, none comes twice."""
    before = Settled(charged=2, stock=1)
    found = [before.after(raised) for raised in (-3, 0, 1, 2, 3, 9)]
    assert [(one.charged, one.stock) for one in found] == [
        *((2, 1), (2, 1), (1, 1), (0, 1), (0, 0), (0, 0)),
    ]
