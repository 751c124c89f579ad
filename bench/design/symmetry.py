"""The braid's own symmetry: which cells change places when the braid is turned or moved along.

A finished braid can be turned on its axis and slid along it. Where that takes the lattice of beads
into itself it takes strands into strands, some of them a row further on. For a repeat of so many
rows these are permutations of its cells.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from bench.craft.structure import Structure
from bench.design.braid_map import BraidMap, braid_map
from bench.design.sheet import Cell

Permutation = tuple[int, ...]
"""Where each cell of a repeat goes, cells numbered row by row: row · strands + strand, from 0."""


@lru_cache(maxsize=64)
def turns_and_climbs(structure: Structure, rows: int) -> tuple[Permutation, ...]:
    """Every turning and climbing of a braid that takes a repeat of so many rows into itself.

    They form a group; the first is the one that moves nothing. Empty where the columns are not
    known.
    """
    lies = braid_map(structure, 0)
    if not lies.known:
        return ()
    crosses = range(rows * lies.row_length)
    return _group(lies, rows, (Motion(turn, up) for up in crosses for turn in range(lies.columns)))


@lru_cache(maxsize=64)
def turns(structure: Structure, rows: int) -> tuple[Permutation, ...]:
    """The turnings on the spot alone, as for a braid that hangs and is looked at from any side."""
    lies = braid_map(structure, 0)
    if not lies.known:
        return ()
    return _group(lies, rows, (Motion(turn, 0) for turn in range(lies.columns)))


@lru_cache(maxsize=64)
def with_end_over_end(structure: Structure, rows: int) -> tuple[Permutation, ...]:
    """Turnings, climbings and, besides, the braid turned end over end."""
    lies = braid_map(structure, 0)
    group = turns_and_climbs(structure, rows)
    if not group:
        return ()
    end = rows * lies.row_length
    motions = (
        Motion(turn, end + up, -1) for up in range(lies.row_length) for turn in range(lies.columns)
    )
    flips = _group(lies, rows, motions)
    return tuple(dict.fromkeys((*group, *(after(flip, move) for flip in flips for move in group))))


class Motion(NamedTuple):
    """A motion of the whole braid: so many columns round and crosses up; way -1: end over end."""

    turn: int
    up: int
    way: int = 1


def after(second: Permutation, first: Permutation) -> Permutation:
    """The permutation that makes the first and then the second."""
    return tuple(second[at] for at in first)


def cycles(move: Sequence[int]) -> int:
    """How many cycles a permutation has."""
    seen: set[int] = set()
    count = 0
    for start in range(len(move)):
        if start not in seen:
            count += 1
            while start not in seen:
                seen.add(start)
                start = move[start]
    return count


def count_appearances(group: Iterable[Permutation], colours: int) -> int:
    """How many ways there are to colour a repeat that no move of the group makes alike.

    Burnside's lemma: the mean, over the group, of the colourings that each move leaves as they are.
    """
    moves = list(group)
    unchanged = [int(colours ** cycles(move)) for move in moves]
    return sum(unchanged) // len(moves)


def _group(lies: BraidMap, rows: int, motions: Iterable[Motion]) -> tuple[Permutation, ...]:
    """The permutations that motions make, each once."""
    found = (_permutation(lies, rows, motion) for motion in motions)
    return tuple(dict.fromkeys(move for move in found if move is not None))


def _permutation(lies: BraidMap, rows: int, motion: Motion) -> Permutation | None:
    """The permutation that a motion makes of a repeat's cells; None if beads miss their spots."""
    strands = lies.structure.strands
    found = []
    # A period further on, so that a motion against the growth still lands on a bead.
    ahead = rows * lies.period_rows * lies.columns
    for row in range(rows):
        for strand in range(1, strands + 1):
            cell = Cell(strand, row + 1 + ahead)
            column = lies.column(cell)
            assert column is not None
            shift = ahead * lies.row_length
            cross = lies.cross(cell) - shift
            target = lies.cell_at(
                motion.way * column + motion.turn, motion.way * cross + motion.up + shift
            )
            if target is None:
                return None
            found.append((target.row - 1) % rows * strands + target.strand - 1)
    return tuple(found) if len(set(found)) == len(found) else None
