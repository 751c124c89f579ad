"""The plan: every cross of a piece, with its transfers, releases and row.

The places repeat after a whole number of rounds, so the plan keeps one such period and works a
step out when asked; building it and walking it are both linear in the crosses.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from typing import overload

from bench.craft.load import MAX_LOAD, SKIP
from bench.craft.pattern import Pattern
from bench.craft.stand import Stand, Transfer, order
from bench.craft.structure import Structure
from bench.craft.text import Fault

MOST_PERIOD = 20_000
"""Crosses until all strands are home again; the shipped structures need 16 to 96."""


@dataclass(frozen=True, slots=True)
class Move:
    """A transfer of a cross, with the bead that the strand brings in, if any."""

    transfer: Transfer
    bead: str | None

    @property
    def strand(self) -> int:
        """The strand that moves."""
        return self.transfer.strand


@dataclass(frozen=True, slots=True)
class PlannedCross:
    """One cross. Crosses, rounds and rows are counted from 1; row is None in plain crosses."""

    cross: int
    round: int
    row: int | None
    call: str
    moves: tuple[Move, ...]

    @property
    def carried(self) -> tuple[Move, ...]:
        """The carried strands; they come before the slides."""
        return tuple(move for move in self.moves if move.transfer.kind == "carry")


class Plan(Sequence[PlannedCross]):
    """The crosses of one piece: `plan[0]` is cross 1, `plan.step(1)` too.

    loads has one string for each strand, in order of release; `-` is a move without a bead.
    Raises Fault if pattern and structure do not go together.
    """

    def __init__(
        self, pattern: Pattern, structure: Structure, loads: tuple[str, ...] | None = None
    ) -> None:
        self.pattern = pattern
        self.structure = structure
        self.strands = structure.strands
        check_strands(pattern, structure)
        self.loads = loads or tuple(pattern.load_of(s) for s in range(1, self.strands + 1))
        self._build_period()
        self.plain_start = pattern.plain_start if any(self.loads) else 0
        self._plain_carries = tuple(
            self.carried_through(s, self.plain_start) for s in range(1, self.strands + 1)
        )
        self.last_bead_cross = max(
            (self._carry_number(s, len(load)) for s, load in enumerate(self.loads, 1) if load),
            default=0,
        )
        """The cross that brings in the last bead; 0 without beads."""
        self.crosses = (
            self.last_bead_cross + pattern.plain_end if self.last_bead_cross else pattern.crosses
        ) or 0

    def _build_period(self) -> None:
        structure = self.structure
        self.period = order(structure) * len(structure.round)
        if self.period > MOST_PERIOD:
            raise Fault(
                f"the strands come home only after {self.period:,} crosses;"
                f" at most {MOST_PERIOD:,} can be followed",
                "structure",
            )
        stand = Stand(structure)
        self._arrangements: list[tuple[int, ...]] = []
        self._transfers: list[tuple[Transfer, ...]] = []
        self._counts: list[tuple[int, ...]] = [(0,) * self.strands]
        self._carries: list[list[int]] = [[] for _ in range(self.strands)]
        for number in range(self.period):
            self._arrangements.append(stand.at)
            transfers = stand.push()
            self._transfers.append(transfers)
            counts = list(self._counts[-1])
            for transfer in transfers:
                if transfer.kind == "carry":
                    counts[transfer.strand - 1] += 1
                    self._carries[transfer.strand - 1].append(number)
            self._counts.append(tuple(counts))
        for strand, load in enumerate(self.loads, 1):
            if load and not self._carries[strand - 1]:
                key = str(strand) if str(strand) in self.pattern.loads else "all"
                raise Fault(
                    f"strand {strand} holds beads, but the structure never carries it;"
                    " its beads would never be brought in",
                    "loads",
                    key,
                )

    def _carry_number(self, strand: int, nth: int) -> int:
        """Return the cross of the strand's nth carry after the plain start."""
        carries = self._carries[strand - 1]
        index = self.carried_through(strand, self.pattern.plain_start) + nth - 1
        return index // len(carries) * self.period + carries[index % len(carries)] + 1

    def carried_through(self, strand: int, cross: int) -> int:
        """How often the strand has been carried in the crosses up to this one, plain ones too."""
        rounds, rest = divmod(cross, self.period)
        return rounds * len(self._carries[strand - 1]) + self._counts[rest][strand - 1]

    def used(self, strand: int, cross: int) -> int:
        """How many entries of the strand's load are used once this cross has been made."""
        if cross <= self.plain_start:
            return 0
        moved = self.carried_through(strand, cross) - self._plain_carries[strand - 1]
        return min(moved, len(self.loads[strand - 1]))

    def cross_of(self, strand: int, entry: int) -> int:
        """Return the cross that uses the strand's load entry, counted from 0."""
        return self._carry_number(strand, entry + 1)

    def remaining(self, strand: int, cross: int) -> str:
        """Return the part of the strand's load that is still to come after this cross."""
        return self.loads[strand - 1][self.used(strand, cross) :]

    def arrangement(self, cross: int) -> tuple[int, ...]:
        """The strand at each place once this cross has been made; 0 is the start."""
        return self._arrangements[cross % self.period]

    def place_of(self, strand: int, cross: int) -> int:
        """The place where the strand lies once this cross has been made."""
        return self.arrangement(cross).index(strand) + 1

    def bead_of(self, strand: int, cross: int) -> str | None:
        """The bead that the strand brings in at this cross, if it is carried and has one."""
        if self.carried_through(strand, cross) == self.carried_through(strand, cross - 1):
            return None
        return self._brought_in(strand, cross)

    def _brought_in(self, strand: int, cross: int) -> str | None:
        """The bead, if any, that a strand brings in at a cross that carries it."""
        if not self.plain_start < cross <= self.last_bead_cross:
            return None
        index = self.carried_through(strand, cross - 1) - self._plain_carries[strand - 1]
        load = self.loads[strand - 1]
        return load[index] if index < len(load) and load[index] != SKIP else None

    def step(self, cross: int) -> PlannedCross:
        """Return a cross, counted from 1. Raises IndexError outside the piece."""
        if not 1 <= cross <= self.crosses:
            raise IndexError(f"there is no cross {cross}; the piece has {self.crosses}")
        transfers = self._transfers[(cross - 1) % self.period]
        return PlannedCross(
            cross=cross,
            round=(cross - 1) // len(self.structure.round) + 1,
            row=self.row_at(cross)[0],
            call=self.structure.round[(cross - 1) % len(self.structure.round)].call,
            moves=tuple(
                Move(t, self._brought_in(t.strand, cross) if t.kind == "carry" else None)
                for t in transfers
            ),
        )

    def row_at(self, cross: int) -> tuple[int | None, int]:
        """Return the row of a cross and which cross of that row it is.

        In plain crosses the row is None and the second number counts within the stretch.
        """
        if not self.last_bead_cross:
            return None, (cross - 1) % len(self.structure.round) + 1
        if cross <= self.plain_start:
            return None, cross
        if cross > self.last_bead_cross:
            return None, cross - self.last_bead_cross
        row, rest = divmod(cross - self.plain_start - 1, self.row_length)
        return row + 1, rest + 1

    @cached_property
    def row_length(self) -> int:
        """Crosses of one row: in them every strand that moves at all is carried at least once."""
        start = self.pattern.plain_start
        for length in range(1, self.period + 1):
            if all(
                self.carried_through(s, start + length) > self.carried_through(s, start)
                for s in range(1, self.strands + 1)
                if self._carries[s - 1]
            ):
                return length
        return self.period

    @property
    def rows(self) -> int:
        """How many bead rows the piece has."""
        return -(-(self.last_bead_cross - self.plain_start) // self.row_length)

    def row_end(self, cross: int) -> int:
        """The last cross of the row, or of the plain stretch, that this cross belongs to."""
        row, of_row = self.row_at(cross)
        if row is not None:
            end = min(cross - of_row + self.row_length, self.last_bead_cross)
        elif not self.last_bead_cross:
            end = cross - of_row + len(self.structure.round)
        else:
            end = self.plain_start if cross <= self.plain_start else self.crosses
        return min(end, self.crosses)

    def resolved(self, size: str | None = None, colourway: str | None = None) -> Plan:
        """Return the plan of the pattern in one size and colourway: its crosses are the same.

        Raises Fault for a size or colourway that the pattern does not have.
        """
        chosen = copy(self)
        chosen.pattern = self.pattern.resolve(size, colourway)
        return chosen

    def with_load(self, strand: int, cross: int, remaining: str) -> Plan:
        """Return the plan with another load on a strand from the end of this cross on.

        A strand that had run out and was carried empty since gets its beads from here on. Raises
        Fault for a strand, a cross or a bead that the piece cannot have.
        """
        if not 1 <= strand <= self.strands:
            raise Fault(f"there is no strand {strand} in a structure of {self.strands}")
        if unknown := set(remaining) - {SKIP, *self.pattern.beads}:
            raise Fault(f"the pattern has no bead {min(unknown)!r}")
        moves = 0
        if remaining and cross > self.pattern.plain_start:
            start = self.carried_through(strand, self.pattern.plain_start)
            moves = self.carried_through(strand, cross) - start
        if moves > MAX_LOAD:
            raise Fault(f"strand {strand} would be carried {moves:,} times; {MAX_LOAD:,} at most")
        loads = list(self.loads)
        before = loads[strand - 1][: self.used(strand, cross)]
        loads[strand - 1] = before.ljust(moves, SKIP) + remaining
        return Plan(self.pattern, self.structure, tuple(loads))

    def __len__(self) -> int:
        return self.crosses

    @overload
    def __getitem__(self, index: int) -> PlannedCross: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[PlannedCross, ...]: ...
    def __getitem__(self, index: int | slice) -> PlannedCross | tuple[PlannedCross, ...]:
        if isinstance(index, slice):
            return tuple(self.step(i + 1) for i in range(*index.indices(self.crosses)))
        return self.step(range(self.crosses)[index] + 1)

    def __iter__(self) -> Iterator[PlannedCross]:
        return (self.step(cross) for cross in range(1, self.crosses + 1))


def check_strands(pattern: Pattern, structure: Structure) -> None:
    """Raise Fault if the pattern names a strand that the structure does not have."""
    for name in pattern.loads:
        if name != "all" and int(name) > structure.strands:
            raise Fault(
                f"there is no strand {name} in a structure of {structure.strands}", "loads", name
            )
    for index, pair in enumerate(pattern.threads.double_lengths):
        for strand in pair:
            if not 1 <= strand <= structure.strands:
                raise Fault(
                    f"there is no strand {strand} in a structure of {structure.strands}",
                    "threads",
                    "double_lengths",
                    index,
                )
