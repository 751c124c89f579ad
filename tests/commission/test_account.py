"""What is due: the offer, the changes since, and the money that moved."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from bench.commission.account import due_lines
from bench.documents.commission import Lot
from bench.journal.commission_payloads import AgreedLot, Surplus

KEYS = ["aaaa", "bbbb", "cccc", "dddd"]
COUNTS = st.dictionaries(st.sampled_from(KEYS), st.integers(1, 40), min_size=1)


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
    surplus = [Surplus(key, more, "charged") for key, more in charged.items()]
    lines = list(due_lines(agreed, lots, [*surplus, Surplus("aaaa", 3, "stock")]))
    due = sum((line.price for line in lines), Decimal(0))
    known = {key: more for key, more in charged.items() if key in offered or key in now}
    wanted = sum((price[key] * pieces for key, pieces in now.items()), Decimal(0))
    wanted += sum((price[key] * more for key, more in known.items()), Decimal(0))
    assert due == wanted
    before = sum((price[key] * pieces for key, pieces in offered.items()), Decimal(0))
    assert before + sum((line.change for line in lines), Decimal(0)) == due
