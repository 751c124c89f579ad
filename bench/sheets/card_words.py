"""What stands below each piece on a customer's card."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from bench.craft.words import length_said, thickness_said

if TYPE_CHECKING:
    from bench.answers.card import CardAnswer, CardPiece

FIGURES = ("length", "thickness", "weight", "beads", "colours")
"""What a card can say of each piece."""
USUAL_FIGURES = ("length", "thickness", "colours")
"""What it says where nothing else is wished."""
AS_DESIGNED = "as designed"
"""A piece in the pattern's own size and colours."""


def name_of(piece: CardPiece) -> str:
    """What a piece is called on the card."""
    return ", ".join(filter(None, (piece.size, piece.colourway))) or AS_DESIGNED


def lines_of(card: CardAnswer, piece: CardPiece, width: int) -> list[str]:
    """Figures and price of a piece, as far as the card shows them, in lines so many letters wide.

    The colours are apart, since they stand beside drawn beads.
    """
    said = {
        "length": f"{length_said(piece.length_low_mm, piece.length_high_mm)} long",
        "thickness": f"{thickness_said(piece.diameter_mm, piece.diameter_at_most)} thick",
        "weight": f"{piece.beads_g:.1f} g of beads",
        "beads": f"{piece.beads_in_all:,} beads",
    }
    found = [said[figure] for figure in said if figure in card.figures]
    if piece.price is not None:
        found.append(f"{piece.price:,.2f} {card.currency}")
    return [line for text in found for line in textwrap.wrap(text, width)]
