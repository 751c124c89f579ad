"""Texts of an event that say a day or an amount, and how far such a text may go."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Annotated

_LONGEST = 24
"""Characters of an amount: twelve digits on either side of its point are more than a shop has."""


@dataclass(frozen=True, slots=True)
class DayText:
    """A day by ISO 8601, as "2026-11-29"."""

    def holds(self, text: str) -> bool:
        """Whether a text is such a day."""
        try:
            return dt.date.fromisoformat(text).isoformat() == text
        except ValueError:
            return False


@dataclass(frozen=True, slots=True)
class DecimalText:
    """A decimal number from 0 to `most`, as "30.00"."""

    most: int

    def holds(self, text: str) -> bool:
        """Whether a text is such a number."""
        try:
            number = Decimal(text if len(text) <= _LONGEST else "")
        except InvalidOperation:
            return False
        return number.is_finite() and 0 <= number <= self.most and abs(number.adjusted()) < _LONGEST


Day = Annotated[str, DayText()]
Amount = Annotated[str, DecimalText(10**9)]
Percent = Annotated[str, DecimalText(100)]
