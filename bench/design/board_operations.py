"""Operations besides: sizes by a step, whole repeats, cures, cores."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from bench.craft.fields import Title
from bench.craft.findings import Change
from bench.craft.growth import size_of
from bench.craft.load import parse_load
from bench.craft.pattern import Bead, Core, CoreChange, Letter, Name, Pattern
from bench.craft.text import Fault
from bench.design.operation import Desk, OnCells, Operation, Row
from bench.design.painting import put
from bench.design.palette import column_like, column_of, letter_for, paint_look
from bench.design.resizing import core_of
from bench.design.row_sizes import step_size
from bench.design.sheet import Cell, Sheet


class StepSize(OnCells):
    """Give cells the next larger bead, or the next smaller one below 0; colours stay.

    `shown`: the size of the pattern that it is for; else it is the pattern's own.
    """

    kind: Literal["step size"] = "step size"
    steps: Annotated[int, Field(ge=-1, le=1)]
    shown: Name | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Grow or shrink them."""
        return step_size(sheet, self.cells(sheet), self.steps, shown=self.shown)


class LayRepeat(Operation):
    """Lay a repeat over whole rows: cell by cell one of some beads, row by row, again and again.

    `cells`: for each cell of the repeat, strands in their order, a number among `beads` from 0.
    `keep_sizes`: what it lies on keeps its size and takes the beads' colours, names and finishes.
    """

    kind: Literal["appearance"] = "appearance"
    cells: Annotated[tuple[Annotated[int, Field(ge=0, le=25)], ...], Field(min_length=1)]
    beads: Annotated[tuple[Letter, ...], Field(min_length=1, max_length=26)]
    first: Row = 1
    last: Row | None = None
    keep_sizes: bool = False

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Lay it.

        Raises Fault where there are no such rows, or the cells make no whole rows, or name a bead
        too many.
        """
        rows, rest = divmod(len(self.cells), sheet.strands)
        if rest or max(self.cells) >= len(self.beads):
            raise Fault("a repeat has whole rows, and only the beads that are named with it")
        last = self.last or sheet.rows
        if last < self.first:
            raise Fault(f"there are no rows {self.first} to {last}; the sheet has {sheet.rows}")
        laid = {}
        for row in range(self.first, last + 1):
            start = (row - self.first) % rows * sheet.strands
            for strand in range(1, sheet.strands + 1):
                laid[Cell(strand, row)] = self.beads[self.cells[start + strand - 1]]
        if not self.keep_sizes:
            return put(sheet, laid)
        looks = {letter: column_of(sheet.pattern, letter) for letter in self.beads}
        for letter, look in looks.items():
            here = [cell for cell, bead in laid.items() if bead == letter]
            sheet = paint_look(sheet, here, look)
        return sheet


class AddBead(Operation):
    """Put a bead into the palette, to be laid; one that is there already stays one."""

    kind: Literal["new bead"] = "new bead"
    bead: Bead

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Put it there. Raises Fault for an unknown size, or when all letters are in use."""
        size_of(self.bead)
        if self.bead in sheet.beads.values():
            return sheet
        return letter_for(sheet, column_like(sheet.pattern, self.bead))[0]


class Cure(Operation):
    """Write what cures a finding: keys of the pattern's file, and their values."""

    kind: Literal["cure"] = "cure"
    changes: Annotated[tuple[tuple[tuple[str | int, ...], str | int], ...], Field(min_length=1)]

    @classmethod
    def of(cls, cure: tuple[Change, ...]) -> Cure:
        """The operation for the cure of a finding."""
        return cls(changes=tuple((change.key, change.value) for change in cure))

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Write them. Raises Fault where a pattern cannot be so."""
        bare = sheet.pattern.model_copy(update={"loads": {}, "crosses": 1})
        values: Any = bare.model_dump(mode="json", exclude_none=True)
        try:
            for key, value in self.changes:
                at: Any = values
                for part in key[:-1]:
                    at = at.setdefault(part, {}) if isinstance(at, dict) else at[int(part)]
                at[key[-1]] = value
            cured = Pattern.model_validate(values)
        except (ValueError, TypeError, LookupError):
            raise Fault("this cure does not fit the pattern any more") from None
        return sheet.with_pattern(
            **{name: getattr(cured, name) for name in Pattern.model_fields if name not in
               {"loads", "crosses"}}
        )  # fmt: skip


class TakeCore(Operation):
    """Make the core that the growth model suggests, in the pattern's own size or another; or none.

    `beads`: the maker's own instead, as counts and letters, first in first.
    """

    kind: Literal["core"] = "core"
    size: Name | None = None
    none: bool = False
    beads: Annotated[str, Field(max_length=300)] | None = None
    down_after_cross: Annotated[int, Field(ge=0, le=1_000_000)] | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Put it in, or take it out. Raises Fault for a bead that the palette does not have."""
        if self.none:
            return sheet.with_pattern(core=None)
        for letter in parse_load(self.beads) if self.beads else "":
            column_of(sheet.pattern, letter)
        core = core_of(sheet, self.size)
        given = {"beads": self.beads, "down_after_cross": self.down_after_cross}
        core = core.model_copy(update={k: v for k, v in given.items() if v is not None})
        if self.size is None:
            return sheet.with_pattern(core=core)
        sizes = dict(sheet.pattern.sizes)
        change = CoreChange(**core.model_dump(include=set(CoreChange.model_fields)))
        sizes[self.size] = sizes[self.size].model_copy(update={"core": change})
        return sheet.with_pattern(core=sheet.pattern.core or Core(), sizes=sizes)


class TakeThread(Operation):
    """Take another thread; the way it makes the strands stays.

    Sizes with a thread of their own keep it. A tex that is not given is not known.
    """

    kind: Literal["thread"] = "thread"
    name: Title
    diameter_mm: Annotated[float, Field(gt=0, le=10, allow_inf_nan=False)]
    tex: Annotated[float, Field(gt=0, le=5000, allow_inf_nan=False)] | None = None

    def on(self, sheet: Sheet, desk: Desk) -> Sheet:
        """Take it."""
        taken = {"name": self.name, "diameter_mm": self.diameter_mm, "tex": self.tex}
        return sheet.with_pattern(threads=sheet.pattern.threads.model_copy(update=taken))
