"""Money against what we did not write: published rounding rules, and Python's own decimal."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.commission.money import Rule, rounded
from bench.commission.offer import totals

CENTS = st.decimals(min_value=0, max_value=1_000_000, places=2)


@pytest.mark.parametrize(
    ("number", "step", "even", "up"),
    [
        ("12.223", "0.1", "12.2", "12.2"),
        ("12.251", "0.1", "12.3", "12.3"),
        ("12.275", "0.1", "12.3", "12.3"),
        ("12.25", "0.1", "12.2", "12.3"),
        ("12.35", "0.1", "12.4", "12.4"),
        ("1225.0", "10", "1220", "1230"),
        ("1235.0", "10", "1240", "1240"),
    ],
)
def test_the_rules_of_the_standard(number: str, step: str, even: str, up: str) -> None:
    """The examples of ISO 80000-1:2009, annex B (and ISO 31-0:1992 before it), rules A and B.

    Cited from memory of the annex, not opened.
    """
    rules: tuple[tuple[Rule, str], ...] = (("half even", even), ("half up", up))
    for rule, wanted in rules:
        assert rounded(Decimal(number), Decimal(step), rule) == Decimal(wanted)


@pytest.mark.parametrize(
    ("amount", "cash"),
    [("17.37", "17.35"), ("17.38", "17.40"), ("17.42", "17.40"), ("17.43", "17.45")],
)
def test_cash_is_rounded_to_five_cents(amount: str, cash: str) -> None:
    """Commercial rounding to 0.05, as cash is rounded in Switzerland; rule from memory."""
    assert rounded(Decimal(amount), Decimal("0.05")) == Decimal(cash)


@given(CENTS, st.decimals(0, 100, places=1), st.decimals(0, 100, places=2))
def test_totals_are_what_decimal_says(lines: Decimal, discount: Decimal, tax: Decimal) -> None:
    """Discount and tax as worked out with 60 digits and rounded once; the parts add up exactly."""
    found = totals(lines, discount, tax, Decimal(50))
    with localcontext() as exact:
        exact.prec = 60
        cent = Decimal("0.01")
        off = (lines * discount / 100).quantize(cent, ROUND_HALF_UP)
        due = ((lines - off) * tax / 100).quantize(cent, ROUND_HALF_UP)
        asked = ((lines - off + due) * 50 / 100).quantize(cent, ROUND_HALF_UP)
    assert (found.discount, found.tax, found.deposit) == (off, due, asked)
    assert found.net + found.discount == found.lines
    assert found.gross == found.net + found.tax
