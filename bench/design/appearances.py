"""The appearances of a repeat: the ways it can look, those that are alike told once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product

from bench.craft.structure import Structure
from bench.craft.words import ordinal
from bench.design.braid_map import braid_map
from bench.design.sheet import Cell
from bench.design.symmetry import (
    Permutation,
    count_appearances,
    turns,
    turns_and_climbs,
    with_end_over_end,
)

MOST_LISTED = 500
"""Above so many there is a count and a sample, never a list."""
MOST_BARREN = 300
"""A sample ends after so many draws one after the other that found nothing new.

Where 2 draws in 100 would still find something it ends too soon in 2 cases of 1000 (0.98 to the
300th); a wish that few appearances meet is answered at once.
"""


@dataclass(frozen=True)
class Appearance:
    """One way that a repeat can look.

    `beads`: the colour of each cell as a number from 0, row by row, strands in their order.
    `says`: what one sees of it.
    """

    beads: tuple[int, ...]
    rows: int
    says: str

    def at(self, cell: Cell, strands: int) -> int:
        """The colour of a cell of the repeat, wherever along the braid it lies."""
        return self.beads[(cell.row - 1) % self.rows * strands + cell.strand - 1]


def group_of(structure: Structure, rows: int, *, alike: str) -> tuple[Permutation, ...]:
    """What counts as alike: "turned", "turned and climbed" or "end over end" besides."""
    if alike == "turned":
        return turns(structure, rows)
    return (with_end_over_end if alike == "end over end" else turns_and_climbs)(structure, rows)


def how_many(
    structure: Structure, rows: int, colours: int, *, alike: str = "turned and climbed"
) -> int:
    """How many appearances a repeat of so many rows has in so many colours.

    Raises ValueError where the columns of the structure are not known.
    """
    group = group_of(structure, rows, alike=alike)
    if not group:
        raise ValueError("the columns of this structure are not known, nor what looks alike")
    return count_appearances(group, colours)


def listed(
    structure: Structure, rows: int, colours: int, *, alike: str = "turned and climbed"
) -> tuple[Appearance, ...]:
    """Every appearance, the quiet ones first. Raises ValueError for more than can be listed."""
    count = how_many(structure, rows, colours, alike=alike)
    if count > MOST_LISTED:
        raise ValueError(f"{count:,} appearances are too many to list; ask for a sample")
    group = group_of(structure, rows, alike=alike)
    cells = rows * structure.strands
    found = (
        _appearance(structure, beads, rows)
        for beads in product(range(colours), repeat=cells)
        if beads == _least(beads, group)
    )
    return tuple(sorted(found, key=lambda one: (sum(map(bool, one.beads)), one.says, one.beads)))


def sampled(
    structure: Structure,
    rows: int,
    colours: int,
    count: int,
    *,
    draw: Callable[[int], int],
    most: int | None = None,
    alike: str = "turned and climbed",
) -> tuple[Appearance, ...]:
    """Some appearances drawn by chance, each once.

    `draw` gives a whole number from 0 up to below its argument, each as likely. `most`: at most so
    many beads that are not of the first colour. Gives fewer than asked for where there are not so
    many, or the last of them hardly ever come: see `MOST_BARREN`.
    """
    group = group_of(structure, rows, alike=alike)
    cells = rows * structure.strands
    found: dict[tuple[int, ...], None] = {}
    barren = 0
    while len(found) < count and barren < MOST_BARREN:
        beads = [0] * cells
        for _ in range(1 + draw(min(cells, most or cells))):
            beads[draw(cells)] = 1 + draw(colours - 1) if colours > 1 else 0
        before = len(found)
        found.setdefault(_least(tuple(beads), group))
        barren = barren + 1 if len(found) == before else 0
    return tuple(_appearance(structure, beads, rows) for beads in found)


def _least(beads: tuple[int, ...], group: tuple[Permutation, ...]) -> tuple[int, ...]:
    """The one of all that are alike that comes first."""
    return min(_moved(beads, move) for move in group)


def _moved(beads: tuple[int, ...], move: Permutation) -> tuple[int, ...]:
    found = [0] * len(beads)
    for at, to in enumerate(move):
        found[to] = beads[at]
    return tuple(found)


def _appearance(structure: Structure, beads: tuple[int, ...], rows: int) -> Appearance:
    return Appearance(beads, rows, _sees(structure, beads, rows))


def _sees(structure: Structure, beads: tuple[int, ...], rows: int) -> str:
    """What one sees: bands of neighbouring stripes where each strand keeps one colour."""
    strands = structure.strands
    columns = [beads[strand::strands] for strand in range(strands)]
    if not any(beads):
        return "plain"
    if any(len(set(column)) > 1 for column in columns):
        changing = sum(len(set(column)) > 1 for column in columns)
        noun = "stripe changes" if changing == 1 else "stripes change"
        return f"{changing} {noun} along the braid"
    order = braid_map(structure, 0).stripes
    ring = [columns[strand - 1][0] for strand in order]
    if len(set(ring)) == 1:
        return "all of one colour"
    others = sorted(set(ring) - {0})
    if others == [1]:
        return _in_one(ring)
    each = (
        f"{_in_one([int(colour == other) for colour in ring])} of the {ordinal(other)}"
        for other in others
    )
    return ", ".join(each)


def _in_one(ring: list[int]) -> str:
    """What one sees of one colour on its ground, 0, round the braid."""
    widths = sorted((width for colour, width in _bands(ring) if colour), reverse=True)
    if len(widths) == 1:
        return "one stripe" if widths[0] == 1 else f"a band of {widths[0]} neighbours"
    if _evenly(ring) and len(set(widths)) == 1:
        if len(widths) == 2:
            return "an opposite pair" if widths[0] == 1 else f"two bands of {widths[0]}, opposite"
        return f"{len(widths)} bands of {widths[0]}, evenly round"
    apart = ""
    if len(widths) == 2:
        between = min(width for colour, width in _bands(ring) if not colour)
        apart = f", {between} apart"
    return "bands of " + " and ".join(map(str, widths)) + apart


def _bands(ring: list[int]) -> Iterator[tuple[int, int]]:
    """Colour and width of each band round the braid."""
    start = next(at for at in range(len(ring)) if ring[at] != ring[at - 1])
    turned = ring[start:] + ring[:start]
    width = 1
    for at, colour in enumerate(turned):
        if at + 1 < len(turned) and turned[at + 1] == colour:
            width += 1
        else:
            yield colour, width
            width = 1


def _evenly(ring: list[int]) -> bool:
    """Whether a part of a turn takes the colours into themselves."""
    size = len(ring)
    return any(ring == ring[step:] + ring[:step] for step in range(1, size) if size % step == 0)
