"""A run of colours over some rows: laid in bands, each bead in its own size."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field

from bench.craft.beads import mass_g
from bench.craft.fields import DocumentPart, Title
from bench.craft.growth import sizes_of
from bench.craft.pattern import Colour, ColourChange, Name
from bench.craft.text import Fault
from bench.design.operation import Desk, OnCells, Row
from bench.design.painting import block
from bench.design.palette import paint_colour
from bench.design.sheet import Cell, Sheet


class RunColour(DocumentPart):
    """One colour of a run."""

    colour: Colour
    name: Title = "bead"


class LayRun(OnCells):
    """Give rows one colour after the other, in bands as even as can be; sizes stay.

    `last`: the sheet's by default. `shown`: the colourway that it is for; else the pattern's own.
    """

    kind: Literal["run"] = "run"
    run: Annotated[tuple[RunColour, ...], Field(min_length=2, max_length=24)]
    last: Row | None = None
    shown: Name | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Lay it. Raises Fault as `bands` does."""
        for one, cells in zip(self.run, self.bands(sheet), strict=True):
            look = ColourChange(colour=one.colour, name=one.name)
            sheet = paint_colour(sheet, cells, look, shown=self.shown)
        return sheet

    def bands(self, sheet: Sheet) -> tuple[tuple[Cell, ...], ...]:
        """The cells of each colour. Raises Fault where there are fewer rows than colours."""
        last = self.last or sheet.rows
        rows = last - self.first + 1
        if rows < len(self.run):
            raise Fault(f"{len(self.run)} colours need as many rows; there are {max(0, rows)}")
        strands = sorted({cell.strand for cell in self.cells(sheet)})
        parts = range(len(self.run) + 1)
        starts = [self.first + part * rows // len(self.run) for part in parts]
        return tuple(block(strands, first, after - 1) for first, after in pairwise(starts))


def band_grams(
    sheet: Sheet, bands: Iterable[Iterable[Cell]], kind: tuple[str, str], size: str | None = None
) -> tuple[float, ...]:
    """The grams of beads of one size and shape that each band has, in a size of the pattern."""
    pattern = sheet.pattern.resolve(size)
    measures = sizes_of(pattern)
    one_g = {
        letter: mass_g(measures[letter])
        for letter, bead in pattern.beads.items()
        if (bead.size, bead.shape) == kind
    }
    return tuple(sum(one_g.get(sheet.at(cell), 0.0) for cell in band) for band in bands)
