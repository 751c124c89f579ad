"""The braid just made, unrolled into rings of bead letters."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from bench.craft.lattice import column_of
from bench.craft.plan import Plan
from bench.journal.piece_state import PieceState

GAP, TWO, PROUD, TO_SEW = "·", "²", "!", "○"
SEEN = {"gap": GAP, "two": TWO, "proud": PROUD}
SIGNS = {
    TO_SEW: "to sew in",
    GAP: "a gap",
    TWO: "two in one place",
    PROUD: "stands proud",
}
"""What stands in the picture of the braid for what is not as planned."""

Spots = Mapping[tuple[int, int], str]
"""What a strand's cross shows in the braid where it is not as planned, by (strand, cross)."""


def spots_of(state: PieceState) -> dict[tuple[int, int], str]:
    """What a piece's braid shows where slips and mends left it unlike its plan."""
    spots = {(spot.strand, spot.cross): SEEN.get(spot.what, spot.what[:1]) for spot in state.seen}
    spots |= {(bead.strand, bead.cross): TO_SEW for bead in state.sew_ins}
    return spots | {(bead.strand, bead.cross): bead.bead for bead in state.sewn}


def recent_rings(plan: Plan, made: int, lines: int, spots: Spots | None = None) -> list[list[str]]:
    """The braid just made, unrolled: rings of letters by column, the newest first.

    '-' is a plain cross or a move without a bead, '' what is not made yet; spots stand before the
    plan. Empty where the columns are not known.
    """
    structure = plan.structure
    if structure.columns is None or structure.turn is None:
        return []
    each = max(1, structure.columns // max(len(c.carried) for c in structure.round))
    newest = max(0, made - 1) // each
    rings = [
        _ring(plan, ring * each, min(ring * each + each, made))
        for ring in range(newest, max(-1, newest - lines), -1)
    ]
    spots = spots or {}
    return [[spots.get(where, letter) for where, letter in ring] for ring in rings]


@lru_cache(maxsize=256)
def _ring(plan: Plan, first: int, last: int) -> tuple[tuple[tuple[int, int], str], ...]:
    """The letters by column that the crosses after `first`, up to `last`, have laid.

    Each with its strand and cross; ((0, 0), '') where nothing is laid.
    """
    structure = plan.structure
    assert structure.columns is not None
    assert structure.turn is not None
    letters = [((0, 0), "")] * structure.columns
    for cross in range(first + 1, last + 1):
        for move in plan.step(cross).carried:
            column = column_of(
                structure.place_angles[move.transfer.start - 1],
                cross,
                columns=structure.columns,
                turn_deg=structure.turn,
                zero_deg=structure.place_angles[structure.round[0].carried[0][0] - 1],
            )
            letters[column] = ((move.strand, cross), move.bead or "-")
    return tuple(letters)
