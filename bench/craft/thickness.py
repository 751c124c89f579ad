"""How thick a braid gets where its columns are not known: a bound with beads, an area without."""

from __future__ import annotations

import math

from bench.craft.packing import bundle_mm


def at_most_mm(bead_mm: float, strands: int) -> float:
    """Outside diameter if all beads of a row lie side by side in one ring: none is thicker.

    A ring of n circles that touch: (1 + 1/sin(π/n)) of one. It holds against six columns of eight
    strands (2.89 of a bead) and against what the area of a bead gives for twelve and sixteen.
    Raises ValueError for fewer than three strands.
    """
    if strands < 3:
        raise ValueError(f"a round braid needs at least three strands, not {strands}")
    return bead_mm * (1 + 1 / math.sin(math.pi / strands))


def cord_mm(thread_mm: float, strands: int, take_up: float) -> float:
    """Diameter of a solid braid without beads: its bundle of threads, the section times take-up.

    Of the section, threads fill as much as in the closest bundle of so many that is known: 69 %
    of it for four and eight, 75 % for sixteen. A hollow braid is thicker.
    """
    return bundle_mm(thread_mm, strands) * math.sqrt(take_up)
