"""Beads of the stock for the colours of a pattern: the nearest that are there in enough grams."""

from __future__ import annotations

from collections.abc import Mapping

from bench.craft.pattern import ColourChange
from bench.design.colours import ColourAtHand, nearest
from bench.design.resizing import grams
from bench.design.sheet import Sheet
from bench.documents.stock import Stock, grams_of


def looks_in_stock(
    sheet: Sheet, wanted: Mapping[str, ColourChange], stock: Stock, tube_g: float
) -> tuple[dict[str, ColourChange], tuple[str, ...]]:
    """For each bead of a sheet the bead in stock that looks most like what is wanted.

    Only beads of its size and shape, with a colour, of which enough grams for one piece are left;
    a tube that does not say what it holds counts as `tube_g`. Besides, one sentence for each bead
    that the stock does not have.
    """
    looks: dict[str, ColourChange] = {}
    gaps = []
    for letter, look in wanted.items():
        bead, need = sheet.beads[letter], grams(sheet, letter)
        at_hand = [
            ColourAtHand(one.colour, one.name, grams_of(one, tube_g))
            for one in stock.beads
            if one.colour is not None and (one.size, one.shape) == (bead.size, bead.shape)
        ]
        found = nearest(look.colour, at_hand, need)
        if found is None:
            gaps.append(
                f"The stock has no {bead.size} {bead.shape} with a colour and {need:.1f} g left,"
                f" for bead {letter}."
            )
        else:
            looks[letter] = ColourChange(colour=found[0].colour, name=found[0].name)
    return looks, tuple(gaps)
