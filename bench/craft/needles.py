"""Needles and ends: what passes the smallest bead, and how often. Advice, not promises."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.packing import Fit, bundle_mm, passes, room_beside
from bench.craft.words import often

GLUED_END_LEAST = 1.4
GLUED_END_MOST = 1.87
"""Diameter of a glued plain end over its closely packed bundle of threads.

Common practice, no source: eight threads of 0.13 mm, 0.43 mm as a bundle, make an end of 0.6 to
0.8 mm.
"""


@dataclass(frozen=True, slots=True)
class Needle:
    """A beading needle; only confirmed diameters were found printed."""

    number: int
    diameter_mm: float
    confirmed: bool


NEEDLES: tuple[Needle, ...] = (
    Needle(10, 0.46, True),
    Needle(11, 0.41, False),
    Needle(12, 0.385, False),
    Needle(13, 0.345, False),
    Needle(15, 0.275, False),
    Needle(16, 0.25, False),
)
"""Thickest first. No. 10: beads.co, "Beading needle sizes and their standard uses"; the other
diameters are middles of ranges from memory."""


@dataclass(frozen=True, slots=True)
class NeedleAdvice:
    """The thickest needle that passes often enough, None if none does, and why."""

    needle: Needle | None
    passes: int
    says: str
    rests_on: str


def lead_mm(needle: Needle, thread_mm: float) -> float:
    """Add up what has to go through: the needle with the folded thread beside its eye."""
    return needle.diameter_mm + 2 * thread_mm


def needle_for(hole_mm: float, thread_mm: float, times: int) -> NeedleAdvice:
    """Find the thickest needle that takes a thread through a hole so many times.

    The last pass is the tight one: the needle and the folded thread beside the threads that are
    already in. Raises ValueError for measures or a number not above zero.
    """
    if times < 1:
        raise ValueError(f"a thread passes at least once, not {times} times")
    for needle in NEEDLES:
        can = passes(hole_mm, thread_mm, lead_mm(needle, thread_mm))
        if can >= times:
            return NeedleAdvice(
                needle,
                can,
                f"needle no. {needle.number} takes {thread_mm:g} mm thread {often(times)} "
                f"through a {hole_mm:g} mm hole",
                _rests_on(needle),
            )
    finest = NEEDLES[-1]
    can = passes(hole_mm, thread_mm, lead_mm(finest, thread_mm))
    return NeedleAdvice(
        None,
        can,
        f"no needle takes {thread_mm:g} mm thread {often(times)} through a {hole_mm:g} mm hole; "
        f"no. {finest.number} " + (f"passes {often(can)}" if can else "does not pass"),
        _rests_on(finest),
    )


def strand_passes(hole_mm: float, thread_mm: float) -> Fit:
    """Whether a stiffened end of the strand's own thread goes through a bead once.

    Good practice is a cord that fills half to two thirds of the hole (topcenter.typepad.com,
    Sep 2014); a looser one passes too.
    """
    ok = passes(hole_mm, thread_mm) >= 1
    return Fit(
        ok,
        thread_mm,
        hole_mm,
        f"{thread_mm:g} mm thread {'passes' if ok else 'does not pass'} a {hole_mm:g} mm hole "
        f"({thread_mm / hole_mm:.0%} of it)",
    )


def finish_fit(hole_mm: float, thread_mm: float, threads: int, times: int) -> Fit:
    """Whether the smallest bead takes all the passes of the finish.

    `threads` through one dressed end, each in `times` passes. `needs_mm` is the finest needle
    with its folded thread, `has_mm` the room left for it at the last pass.
    """
    total = threads * times
    advice = needle_for(hole_mm, thread_mm, total)
    says = f"the finish takes {threads} threads in {times} passes, {total} in all: {advice.says}"
    return Fit(
        advice.needle is not None,
        lead_mm(advice.needle or NEEDLES[-1], thread_mm),
        room_beside(hole_mm, thread_mm, total - 1),
        says,
    )


def glued_end_mm(thread_mm: float, strands: int) -> tuple[float, float]:
    """Diameter of the glued plain end: least and most, a rule of thumb."""
    bundle = bundle_mm(thread_mm, strands)
    return GLUED_END_LEAST * bundle, GLUED_END_MOST * bundle


def end_bead_fit(end_hole_mm: float, thread_mm: float, strands: int) -> Fit:
    """Whether the end bead goes over the glued plain end, at its thickest."""
    least, most = glued_end_mm(thread_mm, strands)
    end = f"the glued plain end is {least:.2f} to {most:.2f} mm thick"
    if end_hole_mm >= most:
        says = f"{end}: a {end_hole_mm:g} mm hole goes over it"
    elif end_hole_mm >= least:
        says = f"{end}: a {end_hole_mm:g} mm hole may not go over it, try before glueing"
    else:
        says = f"{end}: a {end_hole_mm:g} mm hole does not go over it, take {most:.1f} mm or more"
    return Fit(end_hole_mm >= most, most, end_hole_mm, says)


def _rests_on(needle: Needle) -> str:
    diameter = f"needle no. {needle.number} at {needle.diameter_mm:g} mm"
    known = "as printed by a shop" if needle.confirmed else "from memory, not confirmed"
    return f"{diameter} ({known}); circles packed in a circle; advice, try one bead first"
