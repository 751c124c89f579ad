"""Where the cells of a sheet come to lie: cross, place, column, neighbours, stripes.

All of it follows from the structure alone, so that painting a bead changes nothing here.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

from bench.craft.lattice import column_of
from bench.craft.pattern import Pattern, Threads
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.design.sheet import Cell


class Site(NamedTuple):
    """A spot of the lattice: the column, clockwise from 0, and the cross that fills it."""

    column: int
    cross: int


@dataclass(frozen=True)
class BraidMap:
    """Where the cells of a structure lie after so many plain crosses.

    Columns are known only where the structure says them; without, `site` and what rests on it
    answer None or nothing, and the board shows a chart of the strands.
    """

    structure: Structure
    plain_start: int

    @cached_property
    def _plan(self) -> Plan:
        bare = Pattern(
            format=1,
            title="crosses alone",
            structure="any",
            plain_start=self.plain_start,
            crosses=1,
            threads=Threads(diameter_mm=1.0),
        )
        return Plan(bare, self.structure)

    @property
    def known(self) -> bool:
        """Whether it is known in which columns the beads stand."""
        return self.structure.columns is not None and self.structure.turn is not None

    @property
    def columns(self) -> int:
        """Columns of beads round the braid. Raises ValueError where they are not known."""
        if self.structure.columns is None:
            raise ValueError("the columns of this structure are not known")
        return self.structure.columns

    @property
    def row_length(self) -> int:
        """Crosses of one row."""
        return self._plan.row_length

    def cross(self, cell: Cell) -> int:
        """The cross, from 1, at which a cell's bead is brought in."""
        return self._plan.cross_of(cell.strand, cell.row - 1)

    def place(self, cell: Cell) -> int:
        """The place, from 1, from which its strand is then carried."""
        return self._plan.place_of(cell.strand, self.cross(cell) - 1)

    def angle_deg(self, cell: Cell) -> float:
        """Where that place lies, degrees clockwise from the top."""
        return self.structure.place_angles[self.place(cell) - 1]

    def column(self, cell: Cell) -> int | None:
        """The column of a cell's bead, clockwise from above, from 0; None where not known."""
        if not self.known:
            return None
        return column_of(
            self.angle_deg(cell),
            self.cross(cell),
            columns=self.columns,
            turn_deg=self.structure.turn or 0.0,
            zero_deg=self.structure.place_angles[self.structure.round[0].carried[0][0] - 1],
        )

    @cached_property
    def _cell_at(self) -> dict[Site, Cell]:
        """The cells of one period by their spots; later periods repeat them."""
        return {
            Site(column, self.cross(cell)): cell
            for strand in range(1, self.structure.strands + 1)
            for row in range(1, self.period_rows + 1)
            for cell in (Cell(strand, row),)
            if (column := self.column(cell)) is not None
        }

    @cached_property
    def period_rows(self) -> int:
        """Rows after which strands and columns are as at the start."""
        columns = self.structure.columns or 1
        rows = self._plan.period // self.row_length
        turned = 0
        first = self.column(Cell(1, 1))
        for step in range(1, columns + 1):
            turned = step
            if self.column(Cell(1, 1 + step * rows)) == first:
                break
        return rows * turned

    def cell_at(self, column: int, cross: int) -> Cell | None:
        """The cell whose bead stands in a column at a cross, if one does."""
        period = self.period_rows * self.row_length
        start = self.plain_start + 1
        if cross < start:
            return None
        times, rest = divmod(cross - start, period)
        found = self._cell_at.get(Site(column % self.columns, start + rest))
        return None if found is None else Cell(found.strand, found.row + times * self.period_rows)

    def neighbours(self, cell: Cell) -> tuple[Cell, ...]:
        """The cells whose equal beads this one touches: two in its column, one in each beside it.

        Empty where the columns are not known.
        """
        column = self.column(cell)
        if column is None:
            return ()
        cross, own = self.cross(cell), self.columns // 2
        beside = ((sideways, up) for sideways in (1, -1) for up in (1, -1))
        spots = (*beside, (0, own), (0, -own))
        found = (self.cell_at(column + sideways, cross + up) for sideways, up in spots)
        return tuple(other for other in found if other is not None)

    @cached_property
    def stripes(self) -> tuple[int, ...]:
        """The strands in their order round the braid, clockwise, from the first one carried.

        Where the columns are known, stripes beside each other here touch; elsewhere it is the
        order of the strands round the stand.
        """
        if not self.known:
            return tuple(range(1, self.structure.strands + 1))
        return _round_the_braid(self)


def _round_the_braid(lies: BraidMap) -> tuple[int, ...]:
    """Order the stripes by where each crosses one level of the braid.

    A stripe climbs one column with each of its beads, every `row_length` crosses; so at the level
    of a cross it stands at column − (cross − level) / row_length back along its climb.
    """
    level = lies.cross(Cell(1, 1))
    columns = lies.columns
    at = {}
    for strand in range(1, lies.structure.strands + 1):
        first, second = Cell(strand, 1), Cell(strand, 2)
        here, there = lies.column(first), lies.column(second)
        assert here is not None
        assert there is not None
        climb = (there - here + columns // 2) % columns - columns // 2
        crosses = lies.cross(second) - lies.cross(first)
        at[strand] = (here - climb * (lies.cross(first) - level) / crosses) % columns
    order = sorted(at, key=lambda strand: at[strand])
    start = order.index(lies.structure.round[0].carried[0][0])
    return tuple(order[start:] + order[:start])


@lru_cache(maxsize=32)
def braid_map(structure: Structure, plain_start: int) -> BraidMap:
    """The map of a structure after so many plain crosses, worked out once."""
    return BraidMap(structure, plain_start)
