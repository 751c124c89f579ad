"""Circles in a circle: threads in a hole, threads in a bundle, a needle beside threads."""

from __future__ import annotations

import math
from dataclasses import dataclass

RATIOS: tuple[float, ...] = (
    1.0,
    2.0,
    1 + 2 / math.sqrt(3),
    1 + math.sqrt(2),
    1 + math.sqrt(2 * (1 + 1 / math.sqrt(5))),
    3.0,
    3.0,
    1 + 1 / math.sin(math.pi / 7),
    1 + math.sqrt(2 * (2 + math.sqrt(2))),
    3.8130256,
    1 + 1 / math.sin(math.pi / 9),
    4.0296019,
    2 + math.sqrt(5),
    4.3284285,
    1 + math.sqrt(6 + 2 / math.sqrt(5) + 4 * math.sqrt(1 + 2 / math.sqrt(5))),
    4.6154256,
    4.7920337,
    1 + math.sqrt(2) + math.sqrt(6),
    1 + math.sqrt(2) + math.sqrt(6),
)
"""Radius of the smallest circle round 1, 2, … 19 equal circles, over their radius.

E. Specht, "The best known packings of equal circles in a circle" (cci.html, University of
Magdeburg), as copied in public programs; proved for 1 to 14 and 19, else the best known.
"""

_LOOSE_DENSITY = 0.74
"""Share of the area that more than 19 circles fill; those of the same table fill more, up to 30."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether something goes into something, in words."""

    ok: bool
    says: str


def ratio(circles: int) -> float:
    """Radius of the smallest circle round so many equal circles, over their radius.

    Above 19 an estimate on the safe side. Raises ValueError below one circle.
    """
    if circles < 1:
        raise ValueError(f"at least one thread is needed, not {circles}")
    if circles <= len(RATIOS):
        return RATIOS[circles - 1]
    return math.sqrt(circles / _LOOSE_DENSITY)


def bundle_mm(thread_mm: float, threads: int) -> float:
    """Diameter of a bundle of so many round threads, packed as closely as they go."""
    return thread_mm * ratio(threads)


def room_beside(hole_mm: float, thread_mm: float, threads: int) -> float:
    """Diameter of the thickest round thing that goes into a hole beside threads already in it.

    The threads lie in a row along the wall, or in a bundle, whichever leaves more room: exact
    for none, one and two threads, on the safe side for more. 0 if the threads do not fit.
    """
    if threads == 0:
        return hole_mm
    if bundle_mm(thread_mm, threads) > hole_mm * (1 + 1e-12):
        return 0.0
    beside_bundle = hole_mm - bundle_mm(thread_mm, threads)
    return max(0.0, beside_bundle, _room_beside_row(hole_mm / 2, thread_mm / 2, threads))


def _room_beside_row(hole: float, thread: float, threads: int) -> float:
    """Diameter left beside touching threads along the wall; both arguments are radii.

    The outermost thread, the wall and the new circle touch one another.
    """
    away = hole - thread
    if threads > 1 and thread >= away:
        return 0.0
    half_step = math.asin(thread / away) if threads > 1 else 0.0
    spread = (threads - 1) * half_step
    if spread + half_step > math.pi:
        return 0.0
    lean = away * math.cos(spread)
    return (hole**2 + away**2 - thread**2 + 2 * hole * lean) / (hole + lean + thread)


def passes(hole_mm: float, thread_mm: float, lead_mm: float | None = None) -> int:
    """How many threads go through a hole, one after the other.

    `lead_mm` is what goes first: a needle with the thread folded beside its eye, or a stiffened
    end; the thread itself if None. Counted up to 100. Raises ValueError for a measure that is
    not above zero.
    """
    lead = thread_mm if lead_mm is None else max(lead_mm, thread_mm)
    for what, value in (("hole", hole_mm), ("thread", thread_mm), ("needle", lead)):
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"the {what} must be above zero, not {value:g} mm")
    through = 0
    while through < 100:
        if lead > room_beside(hole_mm, thread_mm, through) * (1 + 1e-12):
            break
        if bundle_mm(thread_mm, through + 1) > hole_mm * (1 + 1e-12):
            break
        through += 1
    return through
