"""Amounts of money: decimal, of one currency, rounded once where it is said."""

from __future__ import annotations

from decimal import Decimal


def shown(amount: Decimal) -> str:
    """An amount with two digits behind the point, or more where it has more."""
    digits = max(2, -int(amount.as_tuple().exponent))
    return f"{amount:.{digits}f}"
