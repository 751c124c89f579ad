"""Amounts of money and percentages in documents: decimal, and not below zero."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import Field

Amount = Annotated[Decimal, Field(ge=0, le=1_000_000, max_digits=9, decimal_places=2)]
Percent = Annotated[Decimal, Field(ge=0, le=100, max_digits=7, decimal_places=4)]
