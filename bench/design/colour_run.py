"""A run of colours over some rows: laid in bands, each bead in its own size."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bench.craft.fields import DocumentPart, Title
from bench.craft.pattern import Colour, ColourChange, Name
from bench.craft.text import Fault
from bench.design.operation import Desk, OnCells, Row
from bench.design.painting import block
from bench.design.palette import paint_colour
from bench.design.sheet import Sheet


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
        """Lay it. Raises Fault where there are fewer rows than colours."""
        last = self.last or sheet.rows
        rows = last - self.first + 1
        if rows < len(self.run):
            raise Fault(f"{len(self.run)} colours need as many rows; there are {max(0, rows)}")
        strands = sorted({cell.strand for cell in self.cells(sheet)})
        for number, one in enumerate(self.run):
            first = self.first + number * rows // len(self.run)
            following = self.first + (number + 1) * rows // len(self.run)
            look = ColourChange(colour=one.colour, name=one.name)
            cells = block(strands, first, following - 1)
            sheet = paint_colour(sheet, cells, look, shown=self.shown)
        return sheet
