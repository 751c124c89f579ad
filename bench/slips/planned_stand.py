"""What hangs on the stand by the plan, once so many crosses are counted."""

from __future__ import annotations

from bench.craft.load import SKIP
from bench.craft.plan import Plan

MOST_COUNTED = 10
"""No look counts more beads than this."""

REACH = MOST_COUNTED + 1
"""Beads of a strand that any look can see."""


class PlannedStand:
    """The strands after so many crosses of a plan, if nothing went wrong.

    loads are the beads of each strand without the moves that bring in none.
    """

    def __init__(self, plan: Plan, made: int) -> None:
        self.plan = plan
        self.made = made
        self.strands = plan.strands
        self.loads = tuple(load.replace(SKIP, "") for load in plan.loads)
        self._moves = [
            [i for i, bead in enumerate(load) if bead != SKIP] if SKIP in load else None
            for load in plan.loads
        ]
        self.arrangement = plan.arrangement(made)
        """The strand at each place."""
        self.total = sum(map(len, self.loads)) or 1
        """Beads of all strands; at least 1."""
        self.counts = tuple(self.used(s, made) for s in range(1, self.strands + 1))
        """Beads brought in of each strand."""
        self.ahead = {
            place: self.loads[strand - 1][count : count + REACH]
            for place, strand in enumerate(self.arrangement, 1)
            for count in [self.counts[strand - 1]]
        }
        """By place: the beads to come that a look can reach, the next one first."""

    def used(self, strand: int, made: int) -> int:
        """Beads of a strand brought in by these crosses, moves without a bead not counted."""
        count, moves = self.plan.used(strand, made), self._moves[strand - 1]
        return count if moves is None else sum(1 for move in moves if move < count)

    def cross_of(self, strand: int, bead: int) -> int:
        """The cross that brings in a strand's bead, beads counted from 0."""
        moves = self._moves[strand - 1]
        return self.plan.cross_of(strand, bead if moves is None else moves[bead])


def run_length(beads: str) -> int:
    """How many beads, from the first on, are equal to it."""
    return len(beads) - len(beads.lstrip(beads[0])) if beads else 0


def common_start(one: str, other: str) -> int:
    """How many beads two strings of them have in common from the first on."""
    least = min(len(one), len(other))
    return next((i for i in range(least) if one[i] != other[i]), least)


def with_skips(beads: str, planned: str) -> str:
    """Beads with the plan's moves without one among them, each where the plan has it."""
    for at, bead in enumerate(planned):
        if bead == SKIP and at <= len(beads):
            beads = beads[:at] + SKIP + beads[at:]
    return beads
