"""Colours: a colourway from another, runs, the nearest at hand, pairs that look alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from bench.craft.colour import COLOUR_UNIT, Vision, ciede2000, colour_class, seen
from bench.craft.pattern import ColourChange
from bench.design.braid_map import braid_map
from bench.design.colour_names import nearest_name
from bench.design.sheet import OPEN, Cell, Sheet

LAMP = (1.0, 0.78, 0.46)
"""How strongly a lamp lights red, green and blue beside daylight, to an eye half used to it.

Square roots of a tungsten lamp's light in these three bands; a rule of thumb, no source.
"""
SIGHTS: Mapping[str, Vision] = {
    "without red cones": "protan",
    "without green cones": "deutan",
    "without blue cones": "tritan",
}
"""How eyes can see that lack one kind of cone."""


@dataclass(frozen=True, slots=True)
class ColourAtHand:
    """A bead of one size that can be had: its colour, name and grams."""

    colour: str
    name: str
    grams: float


@dataclass(frozen=True, slots=True)
class AlikePair:
    """Two beads that touch in the braid and look alike, and by which light or eyes."""

    beads: tuple[str, str]
    seen: str
    apart: float


def turned(colour: str, turn_deg: float, lighter: float) -> str:
    """A colour #rrggbb with its hue turned and its lightness changed, both in OKLCh.

    `lighter`: part of the whole scale, from -1 (black) to 1 (white). What a screen cannot show is
    brought in by lowering its colourfulness.
    """
    found = colour_class()(colour).convert("oklch")
    found["hue"] = found["hue"] + turn_deg
    found["lightness"] = min(1.0, max(0.0, found["lightness"] + lighter))
    return str(found.convert("srgb").fit(method="oklch-chroma").to_string(hex=True))


def run_of_colours(first: str, last: str, count: int) -> tuple[str, ...]:
    """So many colours from one to another, evenly apart in OKLab, both ends included."""
    steps = colour_class().steps([first, last], steps=count, space="oklab", out_space="srgb")
    return tuple(str(step.fit().to_string(hex=True)) for step in steps)


def nearest(
    colour: str, at_hand: Iterable[ColourAtHand], grams: float
) -> tuple[ColourAtHand, float] | None:
    """The bead at hand that looks most alike and is there in so many grams, and how far it is off.

    By CIEDE2000. None where nothing holds out.
    """
    wanted = seen(colour)
    enough = [one for one in at_hand if one.grams >= grams]
    found = [(ciede2000(wanted, seen(one.colour)), one) for one in enough]
    if not found:
        return None
    off, best = min(found, key=lambda pair: (pair[0], pair[1].name))
    return best, off


@dataclass(frozen=True, slots=True)
class FromStock:
    """A colourway out of beads at hand.

    `looks`: by letter; `off`: how far each is from what was wished, CIEDE2000; `gaps`: letters for
    which nothing at hand holds out.
    """

    looks: Mapping[str, ColourChange]
    off: Mapping[str, float]
    gaps: tuple[str, ...]


def from_stock(
    wished: Mapping[str, ColourChange],
    at_hand: Mapping[str, Sequence[ColourAtHand]],
    grams: Mapping[str, float],
) -> FromStock:
    """Take for each letter the nearest of the beads at hand for it that hold out.

    The letter that takes most grams chooses first; what it takes is gone for the others.
    """
    left = {id(one): one.grams for shelf in at_hand.values() for one in shelf}
    looks, off, gaps = {}, {}, []
    for letter in sorted(wished, key=lambda letter: (-grams.get(letter, 0.0), letter)):
        need = grams.get(letter, 0.0)
        shelf = {id(one): one for one in at_hand.get(letter, ()) if left[id(one)] >= need}
        found = nearest(wished[letter].colour, shelf.values(), 0.0)
        if found is None:
            gaps.append(letter)
            continue
        best, apart = found
        left[id(best)] -= need
        looks[letter] = ColourChange(colour=best.colour, name=best.name)
        off[letter] = round(apart, 1)
    return FromStock(looks, off, tuple(sorted(gaps)))


def run_at_hand(
    colours: Sequence[str], at_hand: Sequence[ColourAtHand], grams: Sequence[float]
) -> tuple[ColourAtHand | None, ...]:
    """For each colour of a run the nearest bead at hand that has its grams left, none twice.

    None where nothing is left that holds out.
    """
    rest = list(at_hand)
    taken: list[ColourAtHand | None] = []
    for colour, needed in zip(colours, grams, strict=True):
        found = nearest(colour, rest, needed)
        taken.append(None if found is None else found[0])
        if found is not None:
            rest.remove(found[0])
    return tuple(taken)


def new_colourway(
    sheet: Sheet, source: str | None, turn_deg: float, lighter: float
) -> dict[str, ColourChange]:
    """A colourway from another, or from the pattern's own colours, each bead of the palette.

    A bead whose colour changes is called by the named colour that it looks most like then.
    """
    beads = sheet.pattern.resolve(None, source).beads
    made = {}
    for letter, bead in beads.items():
        colour = turned(bead.colour, turn_deg, lighter)
        same = colour.lower() == bead.colour.lower()
        made[letter] = ColourChange(colour=colour, name=bead.name if same else nearest_name(colour))
    return made


def alike_pairs(sheet: Sheet, colourway: str | None = None) -> tuple[AlikePair, ...]:
    """Beads of one size that touch and cannot be told apart: in any light, by lamp, by some eyes.

    Each pair is told once, by the first light or sight in which it is alike.
    """
    beads = sheet.pattern.resolve(None, colourway).beads
    touching = _touching(sheet)
    found = []
    for one, other in combinations(sorted(beads), 2):
        alike = (beads[one].size, beads[one].shape) == (beads[other].size, beads[other].shape)
        if not alike or frozenset((one, other)) not in touching:
            continue
        colours = beads[one].colour, beads[other].colour
        by_lamp = _apart(_by_lamp(colours[0]), _by_lamp(colours[1]))
        ways = [("by daylight", _apart(*colours)), ("by lamplight", by_lamp)]
        ways += [(name, _apart(*colours, sight)) for name, sight in SIGHTS.items()]
        first = next(((name, apart) for name, apart in ways if apart < COLOUR_UNIT), None)
        if first is not None:
            found.append(AlikePair((one, other), first[0], round(first[1], 1)))
    return tuple(found)


def _touching(sheet: Sheet) -> set[frozenset[str]]:
    """The pairs of letters that touch: by the lattice, or along a strand where it is not known.

    Neighbours repeat with the lattice's period, so whole strands are laid beside each other.
    """
    lies = braid_map(sheet.structure, sheet.pattern.plain_start)
    period = lies.period_rows if lies.known else 1
    found: set[tuple[str, str]] = set()
    for strand, load in enumerate(sheet.loads, 1):
        for phase in range(period):
            # A cell of the second period has all of its neighbours.
            cell = Cell(strand, 1 + phase + period)
            for beside in lies.neighbours(cell) or (Cell(strand, cell.row + 1),):
                first = phase + beside.row - cell.row
                ahead = -(first // period) if first < 0 else 0
                other = sheet.loads[beside.strand - 1]
                ours = load[phase + ahead * period :: period]
                found |= set(zip(ours, other[first + ahead * period :: period], strict=False))
    return {frozenset(pair) for pair in found if pair[0] != pair[1] and OPEN not in pair}


def _apart(one: str, other: str, sight: Vision = "full") -> float:
    return ciede2000(seen(one, sight), seen(other, sight))


def _by_lamp(colour: str) -> str:
    found = colour_class()(colour).convert("srgb-linear")
    found[:-1] = [part * lamp for part, lamp in zip(found.coords(), LAMP, strict=True)]
    return str(found.convert("srgb").clip().to_string(hex=True))
