"""Commissions: what the maker and the customer agreed on, as data."""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from functools import lru_cache
from pathlib import PurePath
from typing import Annotated, Literal

from pydantic import Field, model_validator

from bench.craft.fields import DocumentPart, PlainLine, Title
from bench.craft.pattern import Name
from bench.craft.text import Fault
from bench.documents.amounts import Amount, Percent
from bench.pace.records import Variant

MOST_PIECES = 20_000
"""Pieces of a commission: as many as can be forecast."""
Id = Annotated[str, Field(pattern=r"^[a-z0-9-]{4,40}$")]


@lru_cache(maxsize=1000)
def _bare(pattern: str) -> str:
    """A pattern's name without folder and ending."""
    return PurePath(pattern).name.removesuffix(".toml")


class Like(DocumentPart):
    """The piece whose recipe card a lot was begun from: its id, and what it was called then."""

    piece: Id
    called: PlainLine = ""


class Lot(DocumentPart):
    """So many pieces of one pattern, size and colourway."""

    id: Id | None = Field(None, description="What stays when the name changes; given by the app.")
    name: Title
    pattern: Title
    size: Name | None = None
    colourway: Name | None = None
    pieces: Annotated[int, Field(ge=1, le=MOST_PIECES, strict=True)]
    due: dt.date | None = None
    price: Amount | None = Field(None, description="Agreed for one piece, before tax.")
    hangs: bool = Field(True, description="Whether its pieces hang with the others.")
    like: Like | None = Field(None, description="The piece whose recipe card it was begun from.")

    @property
    def kind(self) -> Variant:
        """What its pieces are: the pattern by its bare name, as pieces keep it, size, colourway."""
        return Variant(_bare(self.pattern), self.size, self.colourway)


TERM_WORDS = {
    "deposit_percent": "deposit, %",
    "tax_percent": "tax, %",
    "discount_percent": "discount, %",
    "holds_until": "the offer holds until",
    "design_hours": "design hours",
    "notions": "boxes, post",
    "note": "line for the sheet",
}
"""What the terms are called where a maker reads them."""


class Terms(DocumentPart):
    """What holds for this commission alone; where it is silent, the settings hold."""

    deposit_percent: Percent | None = Field(None, description="Of the whole price.")
    tax_percent: Percent | None = Field(None, description="As your tax office says.")
    discount_percent: Percent = Field(Decimal(0), description="Off the whole price.")
    holds_until: dt.date | None = Field(None, description="The offer holds until this day.")
    design_hours: Annotated[float, Field(ge=0, le=10_000, allow_inf_nan=False)] = Field(
        0.0, description="Hours of drawing and talking, charged at the hourly rate."
    )
    notions: Amount = Field(Decimal(0), description="What else it takes: boxes, findings, post.")
    note: PlainLine = Field("", description="A line for the customer's sheet.")


Millimetres = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]


class Hanging(DocumentPart):
    """Where the pieces of a commission hang: a rail, a hoop or a window, with its places."""

    shape: Literal["rail", "hoop", "window"] = "rail"
    places: Annotated[tuple[tuple[Millimetres, Millimetres], ...], Field(max_length=1000)] = Field(
        description="Each with where it is along the rail or round the hoop, and its drop, in mm."
    )
    diameter_mm: Millimetres | None = Field(None, description="Of a hoop.")
    level_mm: Millimetres = Field(10.0, description="Nearer in height, two hang level.")
    room_mm: Millimetres = Field(5.0, description="Between two that hang beside each other.")
    near_mm: Millimetres = Field(150.0, description="In a window, neighbours are within so much.")
    knots_mm: Millimetres = Field(
        60.0, description="Of each thread, for its knots; common practice, no source."
    )
    alike: Literal["kind", "colourway"] = Field(
        "kind", description="What makes two alike: pattern, size and colourway, or this alone."
    )
    made_by_place: bool = Field(
        False, description="Whether pieces are begun in the order of their places."
    )

    @model_validator(mode="after")
    def _sound(self) -> Hanging:
        seen = set()
        for number, place in enumerate(self.places):
            if place in seen:
                raise Fault(f"place {number + 1} is where another place is", "places", number)
            if place[0] in seen and self.shape != "window":
                said = (
                    f"place {number + 1} is above or below another one: only in a window can it be"
                )
                raise Fault(said, "places", number)
            seen |= {place, place[0]}
        if self.shape == "hoop" and not self.diameter_mm:
            raise Fault("a hoop has its diameter_mm", "diameter_mm")
        for number, (x, _) in enumerate(self.places):
            whole = math.pi * (self.diameter_mm or 0.0)
            if self.shape == "hoop" and x >= whole:
                said = f"place {number + 1} is {x:g} along, beyond the hoop's round of {whole:.0f}"
                raise Fault(said, "places", number)
        return self


class Commission(DocumentPart):
    """A commission: its lots, in the order in which they are made."""

    format: Literal[1]
    id: Id | None = Field(None, description="What stays when the title changes; given by the app.")
    title: Title
    whom: PlainLine = Field("", description="For whom it is; stays out of exports unless asked.")
    due: dt.date | None = None
    lots: Annotated[tuple[Lot, ...], Field(min_length=1, max_length=1000)]
    terms: Terms = Terms()
    hanging: Hanging | None = None

    @model_validator(mode="after")
    def _sound(self) -> Commission:
        names: set[str] = set()
        ids: set[str] = set()
        for number, lot in enumerate(self.lots):
            if lot.name in names:
                raise Fault(f"two lots are called '{lot.name}'", "lots", number, "name")
            if lot.id in ids:
                raise Fault(f"two lots have the id '{lot.id}'", "lots", number, "id")
            names.add(lot.name)
            ids |= {lot.id} if lot.id else set()
        if sum(lot.pieces for lot in self.lots) > MOST_PIECES:
            raise Fault(f"a commission has at most {MOST_PIECES:,} pieces; make several of it")
        return self

    @property
    def ready(self) -> dt.date | None:
        """When all of it is due: on its own day, else with its last lot."""
        return self.due or max((lot.due for lot in self.lots if lot.due), default=None)

    def due_of(self, lot: Lot) -> dt.date | None:
        """When a lot is due: on its own day, else on that of the whole."""
        return lot.due or self.due

    def lot(self, name: str) -> Lot:
        """The lot of a name or id. Raises Fault with the names that there are."""
        for lot in self.lots:
            if name in (lot.name, lot.id):
                return lot
        known = "; ".join(lot.name for lot in self.lots[:8])
        raise Fault(f"there is no lot '{name}' in '{self.title}'; there are: {known}")
