"""Cells made of the next larger or smaller bead, so that a row grows or shrinks by one size."""

from __future__ import annotations

from collections.abc import Iterable

from bench.craft.beads import BeadSize, numbered
from bench.craft.growth import sizes_of
from bench.craft.pattern import BeadInSize
from bench.craft.text import Fault
from bench.design.palette import paint_size
from bench.design.sheet import Cell, Sheet


def step_size(
    sheet: Sheet, cells: Iterable[Cell], steps: int, *, shown: str | None = None
) -> Sheet:
    """Give each cell the next size up (steps 1) or down (-1), its colour kept.

    The next size is one of the palette, else one of the table's. `shown`: the size of the pattern
    that is looked at. Raises Fault where no cell has a larger, or smaller, one.
    """
    by_letter: dict[str, list[Cell]] = {}
    for cell in cells:
        letter = sheet.at(cell)
        if letter in sheet.beads:
            by_letter.setdefault(letter, []).append(cell)
    if not by_letter:
        raise Fault("there is no bead in these rows")
    sizes = sizes_of(sheet.pattern.resolve(shown))
    targets = {letter: next_size(sizes, sizes[letter], steps) for letter in by_letter}
    if not any(targets.values()):
        raise Fault(f"there is no {'larger' if steps > 0 else 'smaller'} bead than these")
    # All are worked out before any is painted, so that no bead takes two steps.
    for letter, members in by_letter.items():
        target = targets[letter]
        if target is not None:
            sheet = paint_size(sheet, members, BeadInSize(size=target.name), shown=shown)
    return sheet


def next_size(sizes: dict[str, BeadSize], size: BeadSize, steps: int) -> BeadSize | None:
    """The next larger (steps 1) or smaller (-1) bead of a shape: of these, else of the table."""
    alike = [other for other in sizes.values() if other.shape == size.shape]
    for at_hand in (alike, numbered(size.shape)):
        further = [s for s in at_hand if (s.diameter_mm - size.diameter_mm) * steps > 1e-9]
        if further:
            return min(further, key=lambda s: abs(s.diameter_mm - size.diameter_mm))
    return None
