"""Amounts of money: decimal, of one currency, rounded once, where it is said."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Literal

from bench.craft.text import Fault, cleaned

Rule = Literal["half up", "half even"]
_RULES = {"half up": ROUND_HALF_UP, "half even": ROUND_HALF_EVEN}
"""ISO 80000-1:2009, annex B: halves go to the even multiple (rule A) or up (rule B)."""

SMALLEST = Decimal("0.01")
"""What totals, taxes and deposits are rounded to."""


def rounded(amount: Decimal, step: Decimal = SMALLEST, rule: Rule = "half up") -> Decimal:
    """Return the multiple of `step` that is nearest to an amount."""
    return (amount / step).quantize(Decimal(1), _RULES[rule]) * step


def percent_of(amount: Decimal, percent: Decimal) -> Decimal:
    """Return so many hundredths of an amount, not rounded."""
    return amount * percent / 100


def decimal_of(number: float) -> Decimal:
    """A measured number, such as hours, to six digits behind the point."""
    return Decimal(f"{number:.6f}")


def read_amount(text: str, what: str) -> Decimal:
    """Return an amount above zero that was typed. Raises Fault with what was found."""
    is_written = re.fullmatch(r"\d{1,9}(\.\d{1,2}0*)?", text.strip(), re.ASCII)
    amount = Decimal(text) if is_written else Decimal(0)
    if not amount:
        hint = " (write 30.50, not 30,50)" if "," in text else ""
        raise Fault(f"{what} takes an amount such as 30.50; found '{cleaned(text, 20)}'{hint}")
    return amount


def shown(amount: Decimal) -> str:
    """An amount with two digits behind the point, or more where it has more."""
    digits = max(2, -int(amount.normalize().as_tuple().exponent))
    return f"{amount:.{digits}f}"
