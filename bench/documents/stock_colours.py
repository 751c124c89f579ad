"""Beads of the stock for the colours of a pattern: the nearest that are there in enough grams."""

from __future__ import annotations

from collections.abc import Mapping

from bench.craft.pattern import ColourChange
from bench.design.colour_run import LayRun, RunColour, band_grams
from bench.design.colours import ColourAtHand, from_stock, run_at_hand
from bench.design.resizing import grams
from bench.design.sheet import Sheet
from bench.documents.beads_at_hand import beads_at_hand
from bench.documents.stock import Stock


def coloured_beads(stock: Stock, size: str, shape: str, tube_g: float) -> list[ColourAtHand]:
    """What the stock holds of a size and shape whose colour it says; a tube without `tube_g`."""
    return [
        ColourAtHand(one.colour, one.name, one.grams)
        for one in beads_at_hand(stock, size, shape, tube_g)
        if one.colour is not None
    ]


def run_in_stock(
    sheet: Sheet,
    wished: LayRun,
    kind: tuple[str, str],
    stock: Stock,
    tube_g: float,
    size: str | None = None,
) -> tuple[LayRun, str]:
    """The run out of the beads of a size and shape in stock that have enough grams for their band.

    `size`: the size of the pattern that is braided. What the stock does not have stays as it was
    wished and is told in a sentence, which is "" where nothing is missing. A band without such a
    bead takes none. Raises Fault as
    `LayRun.bands` does.
    """
    needed = band_grams(sheet, wished.bands(sheet), kind, size)
    at_hand = coloured_beads(stock, *kind, tube_g)
    asked = [(one.colour, mass) for one, mass in zip(wished.run, needed, strict=True) if mass > 0]
    found = iter(run_at_hand([x for x, _ in asked], at_hand, [mass for _, mass in asked]))
    taken, gaps = [], []
    for wish, mass in zip(wished.run, needed, strict=True):
        one = next(found) if mass > 0 else None
        if one is None:
            taken.append(wish)
            if mass > 0:
                gaps.append(f"{wish.colour} ({mass:.2f} g)")
        else:
            taken.append(RunColour(colour=one.colour, name=one.name))
    run = wished.model_copy(update={"run": tuple(taken)})
    says = f"The stock has no {' '.join(kind)} with enough left for {', '.join(gaps)}."
    return run, says if gaps else ""


def looks_in_stock(
    sheet: Sheet, wanted: Mapping[str, ColourChange], stock: Stock, tube_g: float
) -> tuple[dict[str, ColourChange], tuple[str, ...]]:
    """For each bead of a sheet the bead in stock that looks most like what is wanted.

    Only beads of its size and shape, with a colour, of which enough grams for one piece are left;
    none is promised twice, and a tube that does not say what it holds counts as `tube_g`. Besides,
    one sentence for each bead that the stock does not have.
    """
    kinds = {letter: (sheet.beads[letter].size, sheet.beads[letter].shape) for letter in wanted}
    shelves = {kind: coloured_beads(stock, *kind, tube_g) for kind in set(kinds.values())}
    needed = {letter: grams(sheet, letter) for letter in wanted}
    found = from_stock(wanted, {letter: shelves[kinds[letter]] for letter in wanted}, needed)
    gaps = (
        f"The stock has no {' '.join(kinds[letter])} with a colour and {needed[letter]:.1f} g"
        f" left, for bead {letter}."
        for letter in found.gaps
    )
    return dict(found.looks), tuple(gaps)
