"""Motifs: stripes, spirals, rings, dots and chevrons, by width, climb, repeat and number round.

A motif lays its own beads only and leaves the ground. It is worked out as cells, so that it can be
looked at before it is taken.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from bench.craft.text import Fault
from bench.design.braid_map import braid_map
from bench.design.sheet import Cell, Sheet

Kind = Literal["stripe", "spiral", "ring", "dots", "chevron"]
KINDS: dict[Kind, str] = {
    "stripe": "neighbouring stripes, constant along their strands",
    "spiral": "a band that goes on round the braid from row to row",
    "ring": "whole rows, which climb like a screw",
    "dots": "single beads, or short dashes, at even distances",
    "chevron": "two bands that run against each other; its two arms differ",
}
"""Every kind of motif, and what one sees."""


@dataclass(frozen=True)
class Motif:
    """A motif of one bead.

    `strand`: the stripe where it begins. `first`, `last`: its rows, both included. `width`: stripes
    wide (of a ring, rows). `climb`: stripes that it goes on with each row, either way. `repeat`:
    rows until it begins again (of rings, dots and chevrons). `number`: how often it stands side by
    side round the braid. `fill_ends`: begin a last repeat too that does not fit in whole.
    """

    kind: Kind
    letter: str
    strand: int
    first: int
    last: int
    width: int = 1
    climb: int = 0
    repeat: int = 1
    number: int = 1
    fill_ends: bool = False

    def cells(self, sheet: Sheet) -> tuple[Cell, ...]:
        """The cells that the motif lays on a sheet.

        Where the columns are not known the strands count in the order of the stand. Raises Fault
        for figures that a motif cannot have, or a strand or row that the sheet does not have.
        """
        self._check(sheet)
        stripes = braid_map(sheet.structure, sheet.pattern.plain_start).stripes
        start = stripes.index(self.strand)
        found = dict.fromkeys(
            Cell(stripes[(start + beside) % len(stripes)], self.first + ahead)
            for ahead, beside in self._spots(self.last - self.first + 1, len(stripes))
        )
        return tuple(cell for cell in found if cell.row <= len(sheet.loads[cell.strand - 1]))

    def _spots(self, rows: int, round_the_braid: int) -> Iterator[tuple[int, int]]:
        """Rows from the first one, and stripes beside where it begins."""
        sides = [round_the_braid * n // self.number for n in range(self.number)]
        tall = {"ring": self.width, "chevron": self.repeat}.get(self.kind, 1)
        for ahead in range(rows):
            into = ahead % self.repeat
            if ahead - into + tall > rows and not self.fill_ends:
                return
            for side in sides:
                for beside in self._beside(ahead, into, round_the_braid):
                    yield ahead, side + beside

    def _beside(self, ahead: int, into: int, round_the_braid: int) -> Iterable[int]:
        """The stripes of one row, so many rows ahead and so many into the present repeat."""
        wide = range(self.width)
        if self.kind == "stripe":
            return wide
        if self.kind == "spiral":
            return [self.climb * ahead + stripe for stripe in wide]
        if self.kind == "ring":
            return range(round_the_braid) if into < self.width else ()
        if self.kind == "dots":
            return [self.climb * (ahead // self.repeat) + s for s in wide] if into == 0 else ()
        return [arm * (self.climb * into + stripe) for arm in (1, -1) for stripe in wide]

    def _check(self, sheet: Sheet) -> None:
        if not 1 <= self.strand <= sheet.strands:
            raise Fault(f"there is no strand {self.strand}; strands go from 1 to {sheet.strands}")
        if not 1 <= self.first <= self.last <= sheet.rows:
            raise Fault(
                f"there are no rows {self.first} to {self.last}; the sheet has {sheet.rows}"
            )
        for name, least, most in (
            ("width", 1, max(sheet.strands, self.repeat)),
            ("repeat", 1, sheet.rows),
            ("number", 1, sheet.strands),
        ):
            value = getattr(self, name)
            if not least <= value <= most:
                raise Fault(f"{name} is {value}; it can be {least} to {most}")
        if abs(self.climb) >= sheet.strands:
            raise Fault(f"climb is {self.climb}; it stays below {sheet.strands} stripes a row")
