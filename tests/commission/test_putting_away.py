"""An order that is handed over and paid is put away, and called back."""

from __future__ import annotations

import pytest

from bench.commission.account import read_account
from bench.commission.book import cancel
from bench.commission.money_answers import acceptance_of
from bench.commission.pricing import read_offer
from bench.commission.putting_away import calling_back, ending_of, put_away, putting_away
from bench.craft.text import Fault
from bench.documents.settings import Settings
from bench.journal.commission_payloads import MoneyMoved
from bench.journal.inspection_payloads import Delivered
from bench.pace.model import fit
from tests.support.two_benches import DAY, Bench, Benches


def accepted(bench: Bench) -> str:
    """The door: two pieces at 30.00, its offer accepted; return its id."""
    order = bench.begin("door", "silver-eaves", pieces=2)
    bench.change("door", "Lot 1", price="30.00")
    commission = bench.book("door").commission
    found = read_offer(bench.journal, bench.library, Settings(), commission, fit([]), DAY)
    bench.journal.append(acceptance_of(found, None, DAY.isoformat()), pieces=order)
    return order


def test_it_is_put_away_once_it_is_over(benches: Benches) -> None:
    """Not while pieces are to be handed over, or money is to be paid or given back."""
    bench, _ = benches
    order = accepted(bench)
    pieces = [bench.make("door", "Lot 1") for _ in range(2)]

    def says() -> str:
        with pytest.raises(Fault) as refused:
            putting_away(bench.journal, bench.book("door"), DAY)
        return str(refused.value)

    assert says() == "'Door' is not over yet: 2 pieces to hand over, 60.00 EUR to pay"
    for piece in pieces:
        bench.journal.append(Delivered(DAY.isoformat()), pieces=piece)
    assert says() == "'Door' is not over yet: 60.00 EUR to pay"
    paid = MoneyMoved("payment", "70.00", "EUR", DAY.isoformat())
    bench.journal.append(paid, pieces=order)
    assert says() == "'Door' is not over yet: 10.00 EUR to give back"
    bench.journal.append(MoneyMoved("refund", "10.00", "EUR", DAY.isoformat()), pieces=order)
    assert ending_of(bench.journal, bench.book("door")).words == "all 2 handed over and paid"
    bench.journal.append(putting_away(bench.journal, bench.book("door"), DAY), pieces=order)
    assert put_away(bench.journal, bench.library) == {"door"}
    assert read_account(bench.journal, order, bench.book("door").commission,
                        bench.book("door").history).to_pay == 0  # fmt: skip
    file = bench.book("door").file
    file.write_text(file.read_text("utf-8").replace(f'id = "{order}"', 'id = "another"'), "utf-8")
    assert put_away(bench.journal, bench.library) == frozenset(), "another order of its name"
    file.write_text(file.read_text("utf-8").replace('id = "another"', f'id = "{order}"'), "utf-8")
    bench.journal.append(calling_back(bench.book("door"), DAY), pieces=order)
    assert put_away(bench.journal, bench.library) == frozenset()


def test_one_lots_spare_piece_is_no_other_ones(benches: Benches) -> None:
    """Three of two handed over, and one of two of another lot: one is still to hand over."""
    bench, _ = benches
    bench.begin("door", "silver-eaves", pieces=2)
    bench.change("door", "Lot 2", pattern="cistern", pieces=2)
    made = [bench.make("door", lot) for lot in ("Lot 1", "Lot 1", "Lot 1", "Lot 2")]
    for piece in made:
        bench.journal.append(Delivered(DAY.isoformat()), pieces=piece)
    assert ending_of(bench.journal, bench.book("door")).missing == ("1 piece to hand over",)


def test_a_cancelled_order_can_be_put_away(benches: Benches) -> None:
    """Nothing of it is to be handed over; without an offer nothing is to be paid."""
    bench, _ = benches
    order = bench.begin("door", "silver-eaves")
    bench.journal.append(cancel(bench.book("door"), DAY, "moved house"), pieces=order)
    ending = ending_of(bench.journal, bench.book("door"))
    assert (ending.missing, ending.words) == ((), "cancelled")
    assert putting_away(bench.journal, bench.book("door"), DAY).name == "door"


def test_a_piece_too_many_stands_for_none_of_another_lot(benches: Benches) -> None:
    """Each lot's pieces have to be handed over, whatever another one has too many."""
    bench, _ = benches
    bench.begin("door", "silver-eaves", pieces=1)
    bench.change("door", "Lot 2", pattern="cistern", pieces=1)
    for _ in range(2):
        bench.journal.append(Delivered(DAY.isoformat()), pieces=bench.make("door", "Lot 1"))
    assert ending_of(bench.journal, bench.book("door")).missing == ("1 piece to hand over",)


def test_both_benches_agree_on_what_is_put_away(benches: Benches) -> None:
    """Put away at both, called back at one: after a merge both say the same."""
    one, two = benches
    order = one.begin("door", "silver-eaves")
    one.journal.append(cancel(one.book("door"), DAY, "moved house"), pieces=order)
    two.take_in(one)
    two.take_orders()
    for bench in (one, two):
        bench.journal.append(putting_away(bench.journal, bench.book("door"), DAY), pieces=order)
    one.journal.append(calling_back(one.book("door"), DAY), pieces=order)
    one.take_in(two)
    two.take_in(one)
    assert put_away(one.journal, one.library) == put_away(two.journal, two.library)
