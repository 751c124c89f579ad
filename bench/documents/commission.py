"""Commissions: the lots of one commission, as data."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal

from pydantic import Field, model_validator

from bench.craft.fields import DocumentPart, Title
from bench.craft.pattern import Name
from bench.craft.text import Fault


class Lot(DocumentPart):
    """So many pieces of one pattern, size and colourway."""

    name: Title
    pattern: Title
    size: Name | None = None
    colourway: Name | None = None
    pieces: Annotated[int, Field(ge=1, le=100_000, strict=True)]
    due: dt.date | None = None


class Commission(DocumentPart):
    """A commission: its lots, in the order in which they are made."""

    format: Literal[1]
    title: Title
    lots: Annotated[tuple[Lot, ...], Field(min_length=1, max_length=1000)]

    @model_validator(mode="after")
    def _sound(self) -> Commission:
        seen: set[str] = set()
        for number, lot in enumerate(self.lots):
            if lot.name in seen:
                raise Fault(f"two lots are called '{lot.name}'", "lots", number, "name")
            seen.add(lot.name)
        return self
