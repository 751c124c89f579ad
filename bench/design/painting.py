"""Painting: one bead, a row, a stripe, a block, or whatever the present spread reaches."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from bench.craft.load import SKIP
from bench.craft.text import Fault
from bench.design.sheet import OPEN, Cell, Sheet
from bench.design.spread import ONE, Spread


def paint(sheet: Sheet, cells: Iterable[Cell], letter: str, spread: Spread = ONE) -> Sheet:
    """Set cells, and those that the spread reaches with them, to a letter, `-` or `?`.

    A strand that ends before a cell is filled up to it with open cells. Raises Fault for a letter
    that the palette does not have, or a cell that no strand has.
    """
    check_letter(sheet, letter)
    wanted: dict[int, list[int]] = {}
    for cell in cells:
        check_cell(sheet, cell)
        for reached in spread.cells(cell):
            wanted.setdefault(reached.strand, []).append(reached.row)
    return _with(sheet, {strand: dict.fromkeys(rows, letter) for strand, rows in wanted.items()})


def block(strands: Iterable[int], first_row: int, last_row: int) -> tuple[Cell, ...]:
    """The cells of some strands from one row to another, both included."""
    rows = range(min(first_row, last_row), max(first_row, last_row) + 1)
    return tuple(Cell(strand, row) for strand in strands for row in rows)


def put(sheet: Sheet, beads: Mapping[Cell, str]) -> Sheet:
    """Set each cell to a letter of its own; the ground between them stays.

    Raises Fault as `paint` does.
    """
    wanted: dict[int, dict[int, str]] = {}
    for cell, letter in beads.items():
        check_letter(sheet, letter)
        check_cell(sheet, cell)
        wanted.setdefault(cell.strand, {})[cell.row] = letter
    return _with(sheet, wanted)


def replace_letter(sheet: Sheet, old: str, new: str) -> Sheet:
    """Set every cell of one letter to another. Raises Fault as `paint` does."""
    check_letter(sheet, old)
    check_letter(sheet, new)
    return sheet.with_loads(load.replace(old, new) for load in sheet.loads)


def type_load(sheet: Sheet, strand: int, beads: str, spread: Spread = ONE) -> Sheet:
    """Give a strand, and those that the spread reaches with it, a whole load, bead by bead.

    Raises Fault for a letter that the palette does not have, or a strand that there is not.
    """
    check_cell(sheet, Cell(strand, 1))
    for letter in dict.fromkeys(beads):
        check_letter(sheet, letter)
    reached = spread.strands(strand)
    return sheet.with_loads(
        beads if number in reached else load for number, load in enumerate(sheet.loads, 1)
    )


def check_letter(sheet: Sheet, letter: str) -> None:
    """Raise Fault unless a cell can hold the letter."""
    if letter not in (SKIP, OPEN) and letter not in sheet.beads:
        known = ", ".join(sorted(sheet.beads)) or "none"
        raise Fault(f"there is no bead '{letter[:1]}' on this board; known: {known}")


def check_cell(sheet: Sheet, cell: Cell) -> None:
    """Raise Fault unless the cell is on a strand of the sheet, from row 1 on."""
    if not 1 <= cell.strand <= sheet.strands:
        raise Fault(f"there is no strand {cell.strand}; strands go from 1 to {sheet.strands}")
    if cell.row < 1:
        raise Fault(f"there is no row {cell.row}; rows are counted from 1")


def _with(sheet: Sheet, wanted: Mapping[int, Mapping[int, str]]) -> Sheet:
    """Write letters into rows of strands; linear in the strands that are touched."""
    loads = list(sheet.loads)
    for strand, letters in wanted.items():
        load = list(loads[strand - 1])
        missing = max(letters) - len(load)
        if missing > 0:
            load += OPEN * missing
        for row, letter in letters.items():
            load[row - 1] = letter
        loads[strand - 1] = "".join(load)
    return sheet.with_loads(loads)
