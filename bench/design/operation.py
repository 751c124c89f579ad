"""What every operation of the drawing board is, and those on cells have in common."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from bench.craft.fields import DocumentPart, Title
from bench.craft.structure import Structure
from bench.craft.text import Fault, cleaned
from bench.design.painting import block, check_cell
from bench.design.sheet import Cell, Sheet
from bench.design.spread import ONE, Spread, chosen, chosen_strands, spreads

Row = Annotated[int, Field(ge=1, le=20_000)]
Strand = Annotated[int, Field(ge=1, le=32)]


@dataclass(frozen=True)
class Desk:
    """What operations take from elsewhere: a structure by its name. Raises as it does."""

    structure: Callable[[str], Structure]


class Operation(DocumentPart):
    """One operation; `kind` tells which."""

    kind: str

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """The sheet after it. Raises Fault where it cannot be done."""
        raise NotImplementedError


class OnCells(Operation):
    """Operations on cells: some strands, all by default, from one row to another, both included.

    `every`: the same again so many rows on, `times` in all: in each repeat of some rows.
    """

    strands: tuple[Strand, ...] = ()
    first: Row = 1
    last: Row | None = None
    spread: Title = ONE.name
    every: Row | None = None
    times: Row = 1

    def cells(self, sheet: Sheet) -> tuple[Cell, ...]:
        """The cells that it is about, with those that the spread reaches.

        Raises Fault for a strand that the sheet does not have.
        """
        for strand in self.strands:
            check_cell(sheet, Cell(strand, 1))
        strands, last = self.strands or all_strands(sheet), self.last or self.first
        starts = range(0, (self.every or 1) * self.times, self.every or self.times)
        found = (cell for on in starts for cell in block(strands, self.first + on, last + on))
        spread = spread_named(sheet, self.spread)
        return tuple(dict.fromkeys(cell for one in found for cell in spread.cells(one)))


def spread_named(sheet: Sheet, name: str) -> Spread:
    """The spread of a sheet's structure by its name. Raises Fault with those that there are."""
    found = {spread.name: spread for spread in spreads(sheet.structure, sheet.pattern.plain_start)}
    strands = chosen_strands(name)
    if strands and max(strands) <= sheet.strands:
        return chosen(strands)
    if name not in found:
        raise Fault(f"there is no spread '{cleaned(name, 40)}'; known: {', '.join(found)}")
    return found[name]


def all_strands(sheet: Sheet) -> tuple[int, ...]:
    """Every strand of a sheet."""
    return tuple(range(1, sheet.strands + 1))
