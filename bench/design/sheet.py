"""The sheet of beads: what every strand brings in, move by move, and what else a pattern has.

The loads of the strands are the picture of the braid: entry `row` of strand `strand` is one cell
of it. A sheet is never changed; each operation gives a new one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from pydantic import ValidationError

from bench.craft.load import MAX_LOAD, SKIP, parse_load
from bench.craft.pattern import Bead, Pattern
from bench.craft.plan import Plan
from bench.craft.stringing import fold_load
from bench.craft.structure import Structure
from bench.craft.text import Fault, cleaned

OPEN = "?"
"""A cell for which no bead is chosen yet. A sheet with one stays a sketch."""


class Cell(NamedTuple):
    """One cell: the strand, and which of its moves with beads, both from 1."""

    strand: int
    row: int


@dataclass(frozen=True)
class Sheet:
    """The cells of a pattern, with its palette, sizes, colourways, core and marks.

    `pattern` has everything but the cells: its own loads and crosses do not count. `loads` has a
    string for each strand: a letter of the palette, `-` for a move without a bead, `?` for a cell
    that is open.
    """

    pattern: Pattern
    structure: Structure
    loads: tuple[str, ...]

    @classmethod
    def of(cls, pattern: Pattern, structure: Structure) -> Sheet:
        """The sheet of a pattern. Raises Fault if it does not go with the structure."""
        return cls(pattern, structure, Plan(pattern, structure).loads)

    @classmethod
    def blank(cls, pattern: Pattern, structure: Structure, rows: int) -> Sheet:
        """A sheet of open cells with the palette of a pattern."""
        return cls(pattern, structure, (OPEN * rows,) * structure.strands)

    @property
    def strands(self) -> int:
        """How many strands the structure has."""
        return self.structure.strands

    @cached_property
    def rows(self) -> int:
        """Rows of the longest strand."""
        return max(map(len, self.loads), default=0)

    @property
    def beads(self) -> Mapping[str, Bead]:
        """The palette: a bead for each letter, as in the pattern's own size and colourway."""
        return self.pattern.beads

    @cached_property
    def open_cells(self) -> int:
        """How many cells are open."""
        return sum(load.count(OPEN) for load in self.loads)

    def at(self, cell: Cell) -> str:
        """The letter of a cell, `-` or `?`; "" beyond the strand's end."""
        load = self.loads[cell.strand - 1]
        return load[cell.row - 1] if 1 <= cell.row <= len(load) else ""

    def counts(self) -> dict[str, int]:
        """How many beads of each letter the braid takes, the core left out."""
        found = {letter: sum(load.count(letter) for load in self.loads) for letter in self.beads}
        return {letter: count for letter, count in found.items() if count}

    def with_loads(self, loads: Iterable[str]) -> Sheet:
        """The sheet with other cells; a strand ends with its last bead, or open cell.

        Raises Fault for a strand that is too long.
        """
        found = tuple(loads)
        if len(found) != self.strands:
            raise Fault(f"a sheet of {self.strands} strands cannot have {len(found)} loads")
        for strand, load in enumerate(found, 1):
            if len(load) > MAX_LOAD:
                raise Fault(f"strand {strand} would have {len(load):,} moves; {MAX_LOAD:,} at most")
        return replace(self, loads=tuple(load.rstrip(SKIP) for load in found))

    def with_pattern(self, **changes: object) -> Sheet:
        """The sheet with parts of its pattern changed: beads, sizes, colourways, core or marks."""
        return replace(self, pattern=self.pattern.model_copy(update=changes))

    def plan(self) -> Plan:
        """The plan of the sheet as it is now; open cells count as moves without a bead."""
        return Plan(self.pattern, self.structure, self.laid().loads)

    def laid(self) -> Sheet:
        """The sheet with what is laid alone: open cells are moves without a bead."""
        if not self.open_cells:
            return self
        return self.with_loads(load.replace(OPEN, SKIP) for load in self.loads)

    def to_pattern(self) -> Pattern:
        """The sheet as a pattern, its loads written as counts and letters, equal ones as `all`.

        Raises Fault while a cell is open, and for what a pattern cannot have.
        """
        if self.open_cells:
            noun = "cell is" if self.open_cells == 1 else "cells are"
            raise Fault(f"{self.open_cells:,} {noun} still open")
        fields = {name: getattr(self.pattern, name) for name in Pattern.model_fields}
        fields["loads"] = written_loads(self.loads, self.pattern.loads)
        if fields["loads"]:
            fields["crosses"] = None
        try:
            found = Pattern.model_validate(fields)
            # Parts that are models already are looked at only as plain values.
            Pattern.model_validate(found.model_dump())
        except ValidationError as error:
            first = error.errors(include_url=False)[0]
            key = ".".join(map(str, first["loc"]))
            said = cleaned(first["msg"].removeprefix("Value error, "), 200)
            raise Fault(f"{key}: {said}" if key else said) from None
        return found


def written_loads(loads: Sequence[str], before: Mapping[str, str]) -> dict[str, str]:
    """Loads as a pattern's file has them: one as `all`, the others by strand.

    What `before` says and still holds is kept as it is written there; without, `all` is the load
    that most strands have.
    """
    if not any(loads):
        return {}
    known = {name: parse_load(text).rstrip(SKIP) for name, text in before.items()}
    common = known.get("all", "")
    if common not in loads:
        common = max(loads, key=lambda load: (loads.count(load), len(load)))
    by_name = {"all": common} | {str(strand): load for strand, load in enumerate(loads, 1)}
    return {
        name: before[name] if known.get(name) == load else fold_load(load)
        for name, load in by_name.items()
        if name == "all" or load != common or known.get(name) == load
    }


def beads_of(loads: Sequence[str]) -> set[str]:
    """The letters that loads use."""
    return set().union(*map(set, loads)) - {SKIP, OPEN}
