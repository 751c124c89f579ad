"""The spread: how many places one operation reaches at once.

One place alone; the places into which the braid's own symmetry takes it within its row (the
opposite one, every second stripe, all); or one in each column. Where the columns are not known,
the strands that lie so many parts of the stand round from it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from bench.craft.structure import Structure
from bench.design.braid_map import BraidMap, braid_map
from bench.design.sheet import Cell
from bench.design.symmetry import turns_and_climbs


@dataclass(frozen=True)
class Spread:
    """One way to reach several strands of a row at once.

    `groups` are the sets of strands that are reached together; a strand in none is reached alone.
    """

    name: str
    groups: tuple[tuple[int, ...], ...]

    @property
    def reach(self) -> int:
        """How many places it reaches at the most."""
        return max(map(len, self.groups), default=1)

    def strands(self, strand: int) -> tuple[int, ...]:
        """The strands that are reached together with this one, itself included."""
        return next((group for group in self.groups if strand in group), (strand,))

    def cells(self, cell: Cell) -> tuple[Cell, ...]:
        """The cells that are reached together with this one, itself included."""
        return tuple(Cell(strand, cell.row) for strand in self.strands(cell.strand))


CHOSEN = "strands "
"""How the name of a spread begins whose strands the maker chose."""
ONE = Spread("one place", ())
"""The place under the cursor and no other."""


@lru_cache(maxsize=64)
def spreads(structure: Structure, plain_start: int) -> tuple[Spread, ...]:
    """Every spread of a structure, from one place to all."""
    lies = braid_map(structure, plain_start)
    strands = structure.strands
    found = [ONE]
    parts = [part for part in range(2, strands + 1) if strands % part == 0]
    if lies.known:
        order = _cycle(structure)
        found += [Spread(_name(part, strands), _every(order, part)) for part in parts]
        found.append(Spread("once in each column", _once_a_column(lies)))
        found.sort(key=lambda spread: spread.reach)
    else:
        order = tuple(range(1, strands + 1))
        found += [Spread(_chart_name(part, strands), _every(order, part)) for part in parts]
    return tuple(found)


def chosen(strands: tuple[int, ...]) -> Spread:
    """The spread of some strands that the maker chose; its name says which."""
    ordered = tuple(sorted(set(strands)))
    return Spread(f"{CHOSEN}{' '.join(map(str, ordered))}", (ordered,))


def chosen_strands(name: str) -> tuple[int, ...]:
    """The strands of a chosen spread's name; none of any other name."""
    numbers = name.removeprefix(CHOSEN).split()
    if name.startswith(CHOSEN) and all(n.isascii() and n.isdigit() for n in numbers):
        return tuple(int(number) for number in numbers)
    return ()


def _cycle(structure: Structure) -> tuple[int, ...]:
    """The strands in the order in which one turning and climbing takes each into the next."""
    group = turns_and_climbs(structure, 1)
    strands = structure.strands
    for move in group:
        order = [0]
        while (following := move[order[-1]]) not in order:
            order.append(following)
        if len(order) == strands:
            return tuple(strand + 1 for strand in order)
    return tuple(range(1, strands + 1))


def _every(order: tuple[int, ...], part: int) -> tuple[tuple[int, ...], ...]:
    """Divide strands in cyclic order into groups of so many, evenly spaced."""
    step = len(order) // part
    return tuple(tuple(sorted(order[start::step])) for start in range(step))


def _once_a_column(lies: BraidMap) -> tuple[tuple[int, ...], ...]:
    """The strands whose beads of a row are the first in their columns, then those that are last."""
    cells = sorted(
        (Cell(strand, 1) for strand in range(1, lies.structure.strands + 1)), key=lies.cross
    )
    first = {lies.column(cell): cell.strand for cell in reversed(cells)}
    last = {lies.column(cell): cell.strand for cell in cells}
    return tuple(tuple(sorted(found.values())) for found in (first, last))


def _name(part: int, strands: int) -> str:
    if part == strands:
        return f"all {strands}"
    return {2: "opposite", strands // 2: "every second stripe"}.get(part, f"{part} round the braid")


def _chart_name(part: int, strands: int) -> str:
    return f"all {strands}" if part == strands else f"{part} round the stand"
