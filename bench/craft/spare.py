"""Spare beads: how many to have, so that what is lost or thrown out seldom leaves one short."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

SHORT = 0.05
"""Chance that a kind of bead runs short all the same: one lot in twenty."""


@dataclass(frozen=True, slots=True)
class Spare:
    """The chance that a bead is of no use, and the chance of running short that is borne.

    Each bead is taken as lost by itself, so that the beads to have until enough are good follow
    a negative binomial distribution.
    """

    lost: float
    short: float = SHORT

    def beads_for(self, count: int) -> int:
        """The fewest beads to have for so many good ones."""
        return count + _lost_at_most(count, self.lost, self.short)

    def pieces_from(self, beads: float, each: int) -> int:
        """How many whole pieces of so many beads each these beads are enough for."""
        enough, too_many = 0, math.floor(beads / each) + 1
        while too_many - enough > 1:
            middle = (enough + too_many) // 2
            if self.beads_for(middle * each) <= beads + 1e-9:
                enough = middle
            else:
                too_many = middle
        return enough


def lost_or_culled(lost: float, culled: float) -> float:
    """The chance that a bead is lost, or thrown out before that."""
    return 1 - (1 - lost) * (1 - culled)


@lru_cache(maxsize=1024)
def _lost_at_most(good: int, lost: float, short: float) -> int:
    """How many beads are lost at most before so many good ones, but for a chance of `short`."""
    if not (0 <= lost < 1 and 0 < short < 1):
        raise ValueError(f"chances must lie between 0 and 1, not {lost:g} and {short:g}")
    if good == 0 or lost == 0:
        return 0
    mean = good * lost / (1 - lost)
    number = max(0, math.floor(mean - 12 * math.sqrt(mean / (1 - lost))))
    chance = math.exp(
        math.lgamma(number + good)
        - math.lgamma(good)
        - math.lgamma(number + 1)
        + good * math.log1p(-lost)
        + number * math.log(lost)
    )
    so_far = chance
    while so_far < 1 - short:
        chance *= (number + good) / (number + 1) * lost
        number += 1
        so_far += chance
    return number
