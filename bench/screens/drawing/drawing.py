"""What the modes of the board share: the sketch, the cursor, the spread, and what was said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from bench.craft.load import SKIP
from bench.craft.text import Fault
from bench.design.braid_map import BraidMap, braid_map
from bench.design.operation import Operation
from bench.design.operations import Paint
from bench.design.repeats import found_repeat, standing
from bench.design.sheet import OPEN, Cell, Sheet
from bench.design.spread import Spread, chosen, spreads
from bench.screens.drawing.draft import Draft
from bench.screens.drawing.worked_out import WorkedOut
from bench.screens.kit.keys import usual

DIGITS = "1234567890"
"""The keys of the beads, in the order of the palette."""


@dataclass
class Drawing:
    """The board as it stands.

    `stripe`: the cursor's stripe, from 0, in their order round the braid; `row`, from 1. `hand`:
    the bead that Enter lays. `corner`: where a marked block begins. `preview`: a sheet to be looked
    at before it is taken. `worked`: what was worked out last, for this sheet or an earlier one.
    `unsaved`: why the sketch could not be written, large on the screen while it lasts.
    """

    draft: Draft
    stripe: int = 0
    row: int = 1
    hand: str = ""
    reach: int = 0
    corner: Cell | None = None
    preview: Sheet | None = None
    said: str = ""
    unsaved: str = ""
    alarm: bool = False
    """Whether it has just turned out that the sketch could not be written."""
    repeat: tuple[int, int, int] | None = None
    """The rows that change together: the first and last of one repeat, and how often it stands."""
    chosen: tuple[int, ...] = ()
    """Strands that the maker chose to reach together."""
    worked: WorkedOut | None = None
    front: int = 0
    """The column of beads that the outline shows in front, counted clockwise from above."""
    colours: bool = True
    """Whether the terminal shows colours."""
    key: Callable[[str], str] = usual
    """The key of an action, as it is written on the screen."""
    first_bead: int = 0
    """The first bead of the palette that has a digit, where there are more than ten."""

    @property
    def sheet(self) -> Sheet:
        """The sheet that is shown."""
        return self.preview or self.draft.sheet

    @property
    def map(self) -> BraidMap:
        """Where the cells come to lie."""
        return braid_map(self.sheet.structure, self.sheet.pattern.plain_start)

    @property
    def stripes(self) -> tuple[int, ...]:
        """The strands in their order round the braid."""
        return self.map.stripes

    @property
    def cell(self) -> Cell:
        """The cell under the cursor."""
        return Cell(self.stripes[self.stripe % len(self.stripes)], self.row)

    @property
    def spread(self) -> Spread:
        """The present spread."""
        return self.spreads[self.reach % len(self.spreads)]

    @property
    def spreads(self) -> tuple[Spread, ...]:
        """Every spread of the structure, and the strands that were chosen."""
        found = spreads(self.sheet.structure, self.sheet.pattern.plain_start)
        return (*found, chosen(self.chosen)) if self.chosen else found

    @property
    def letters(self) -> Sequence[str]:
        """The palette in its order, without what a preview would add."""
        return sorted(self.draft.sheet.beads)

    @property
    def in_reach(self) -> Sequence[str]:
        """The beads that the digits pick, first to last."""
        return self.letters[self.first_bead : self.first_bead + len(DIGITS)]

    def turn(self, columns: int) -> None:
        """Turn the outline round its axis."""
        if self.map.known:
            self.front = (self.front + columns) % self.map.columns

    def reach_all(self) -> None:
        """Take the widest spread: a new pattern is begun on all strands alike."""
        self.reach = len(spreads(self.sheet.structure, self.sheet.pattern.plain_start)) - 1

    def widen(self, by: int) -> None:
        """Go to the next spread, or the one before."""
        self.reach = (self.reach + by) % len(self.spreads)

    def turn_palette(self) -> None:
        """Have the digits pick the next ten beads, where there are more."""
        following = self.first_bead + len(DIGITS)
        self.first_bead = following if following < len(self.letters) else 0

    def go(self, stripes: int, rows: int) -> None:
        """Move the cursor: round the braid without end, along it from the first row on."""
        self.stripe = (self.stripe + stripes) % len(self.stripes)
        self.row = max(1, min(self.last_row, self.row + rows))

    def go_to(self, cell: Cell) -> None:
        """Put the cursor on a cell."""
        self.stripe = self.stripes.index(cell.strand)
        self.row = max(1, min(self.last_row, cell.row))

    @property
    def last_row(self) -> int:
        """The last row that the cursor can stand on: one behind the last, to go on there."""
        return self.draft.sheet.rows + 1

    @property
    def marked(self) -> tuple[tuple[int, ...], int, int]:
        """The strands and the first and last row of the block, or of the cell without one."""
        if self.corner is None:
            return (self.cell.strand,), self.row, self.row
        one, other = sorted((self.stripes.index(self.corner.strand), self.stripe))
        first, last = sorted((self.corner.row, self.row))
        return self.stripes[one : other + 1], first, last

    @property
    def marked_rows(self) -> tuple[int, int]:
        """The first and last row that are marked, of those that there are."""
        _, first, last = self.marked
        rows = max(1, self.draft.sheet.rows)
        return min(first, rows), min(last, rows)

    @property
    def target(self) -> dict[str, Any]:
        """What painting would reach now, as operations on cells take it."""
        strands, first, last = self.marked
        target = {"strands": strands, "first": first, "last": last, "spread": self.spread.name}
        if self.repeat is None:
            return target
        start, end, times = self.repeat
        size = end - start + 1
        into = first - start
        if not 0 <= into < size * times or into % size + last - first >= size:
            return target
        at = start + into % size
        return target | {"first": at, "last": at + last - first, "every": size, "times": times}

    def reached(self) -> frozenset[Cell]:
        """The cells that painting would reach now."""
        target = self.target
        spread = self.spread
        wide = {other for strand in target["strands"] for other in spread.strands(strand)}
        long = target["last"] - target["first"] + 1
        starts = (
            target["first"] + n * target.get("every", 1) for n in range(target.get("times", 1))
        )
        return frozenset(Cell(s, at + row) for at in starts for s in wide for row in range(long))

    def toggle_repeat(self) -> None:
        """Have what is painted go into every repeat, of the marked rows or those found; or not."""
        if self.repeat is not None:
            self.repeat = None
            self.said = "Each repeat is painted for itself again."
            return
        sheet = self.draft.sheet
        if self.corner is not None:
            first, last = self.marked_rows
            found: tuple[int, int, int] | None = (first, last, standing(sheet, first, last))
            self.corner = None
        else:
            found = found_repeat(sheet)
        if found is None or found[2] < 2:
            self.said = "No rows stand there twice one after the other."
            return
        self.repeat = found
        self.said = (
            f"What is painted in one goes into all of them; {self.key('repeats')} ends that."
        )

    def do(self, operation: Operation) -> bool:
        """Do an operation; say why where it cannot be done. Returns whether it was."""
        try:
            self.draft.do(operation)
        except Fault as fault:
            self.said = f"{fault}."
            return False
        self.preview = None
        self.row = min(self.row, self.last_row)
        self.stripe %= len(self.stripes)
        return True

    def paint(self, letter: str) -> None:
        """Lay a bead, no bead or an open cell where the cursor is, and wherever the spread says."""
        paint = Paint.model_validate({"bead": letter, **self.target})
        if self.do(paint):
            self.corner = None
            if letter not in (SKIP, OPEN):
                self.hand = letter

    def undo(self) -> None:
        """Take the last operation back."""
        if not self.draft.history.done:
            self.said = "Nothing is left to take back."
            return
        kind = self.draft.history.done[-1][0].kind
        self.draft.undo()
        self.said = f"Taken back: {kind}. {self.key('redo')} does it again."
        self.row = min(self.row, self.last_row)

    def redo(self) -> None:
        """Do what was taken back last again."""
        if not self.draft.history.undone:
            self.said = "Nothing was taken back that could be done again."
            return
        kind = self.draft.history.undone[-1][0].kind
        self.draft.redo()
        self.said = f"Done again: {kind}."
        self.row = min(self.row, self.last_row)
