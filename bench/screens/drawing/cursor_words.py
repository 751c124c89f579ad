"""The cell under the cursor, in the maker's words."""

from __future__ import annotations

from bench.craft.load import SKIP
from bench.craft.pattern import Pattern
from bench.design.sheet import OPEN, Cell
from bench.screens.drawing.drawing import Drawing


def what_lies_there(drawing: Drawing, pattern: Pattern) -> str:
    """Which strand, which of its beads, and what that bead is."""
    cell, sheet = drawing.cell, drawing.sheet
    letter = sheet.at(cell)
    long = len(sheet.loads[cell.strand - 1])
    where = f"strand {cell.strand}, its bead {cell.row:,} of {long:,}: "
    if letter == OPEN:
        return f"{where}open, no bead chosen yet"
    if letter == SKIP:
        return f"{where}carried without a bead"
    if not letter:
        return f"strand {cell.strand} has {long:,}: behind its last bead"
    bead = pattern.beads[letter]
    finish = f", {bead.finish}" if bead.finish else ""
    return f"{where}{letter}, {bead.name} {bead.size} {bead.shape}{finish}"


def where_it_comes_in(drawing: Drawing) -> str:
    """At which cross it is brought in, from which place, and which beads it lies against."""
    cell, lies = drawing.cell, drawing.map
    place = drawing.sheet.structure.places[lies.place(cell) - 1]
    said = f"cross {lies.cross(cell):,}, from the {place}"
    beside = [named for other in lies.neighbours(cell) if (named := _named(drawing, other))]
    return f"{said}; lies against {' '.join(beside)}" if beside else said


def _named(drawing: Drawing, cell: Cell) -> str:
    """A neighbour by its letter and strand: 'c3'."""
    letter = drawing.sheet.at(cell)
    return f"{letter}{cell.strand}" if letter in drawing.sheet.beads else ""
