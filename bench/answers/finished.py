"""What `finished` answers: finished pieces in no order, and those that left. Amounts are text."""

from __future__ import annotations

from dataclasses import dataclass

from bench.answers import Answer, Part


@dataclass(frozen=True, kw_only=True)
class FinishedPiece(Part):
    """A finished piece: in stock, or how it left, on which day and what that brought.

    `status`: its one state. `quality`: good or second. `came_from`: the lot that it was in, or
    still is in beyond its count (`beyond`); empty for none. `how` null: it did not leave the stock.
    `says`: how it stands, in words.
    """

    piece: str
    name: str
    pattern: str
    size: str | None
    colourway: str | None
    status: str
    quality: str
    came_from: str
    beyond: bool
    how: str | None
    day: str | None
    price: str | None
    currency: str
    says: str


@dataclass(frozen=True, kw_only=True)
class FinishedAnswer(Answer):
    """`finished`: the pieces, how many are there, what those that left brought by currency."""

    pieces: tuple[FinishedPiece, ...]
    in_stock: int
    brought: tuple[str, ...]
    done: tuple[str, ...]
    waits: bool
