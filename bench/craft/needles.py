"""Needles and ends: what passes the smallest bead, and how often. Advice, not promises."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from bench.craft.packing import Fit, bundle_mm, passes
from bench.craft.words import in_figures, often, plural

GLUED_END_LEAST = 1.4
GLUED_END_MOST = 1.87
"""Diameter of a glued plain end over its closely packed bundle of threads.

Common practice, no source: eight threads of 0.13 mm, 0.43 mm as a bundle, make an end of 0.6 to
0.8 mm.
"""


@dataclass(frozen=True, slots=True)
class Needle:
    """A beading needle, from its thinnest to its thickest make; `confirmed` if found printed."""

    number: int
    least_mm: float
    most_mm: float
    confirmed: bool


NEEDLES: tuple[Needle, ...] = (
    Needle(10, 0.46, 0.46, True),
    Needle(11, 0.41, 0.46, False),
    Needle(12, 0.36, 0.41, False),
    Needle(13, 0.33, 0.36, False),
    Needle(15, 0.25, 0.30, False),
    Needle(16, 0.25, 0.25, False),
)
"""Thickest first. No. 10: beads.co, "Beading needle sizes and their standard uses"; the others
from memory, no. 11 up to its thicker neighbour."""


@dataclass(frozen=True, slots=True)
class NeedleAdvice:
    """The thickest needle that is sure to pass often enough, None if none is, and why.

    `passes` is how often it passes at its thickest; of the finest needle if none will do.
    """

    needle: Needle | None
    passes: int
    says: str
    rests_on: str


def lead_mm(needle_mm: float, thread_mm: float) -> float:
    """Add up what has to go through: the needle with the folded thread beside its eye."""
    return needle_mm + 2 * thread_mm


@lru_cache(maxsize=1024)
def needle_for(hole_mm: float, thread_mm: float, times: int) -> NeedleAdvice:
    """Find the thickest needle that takes a thread through a hole so many times.

    The last pass is the tight one: the needle, as thick as it is made, and the folded thread
    beside the threads that are already in. A thicker needle that passes often enough in some
    makes only is named beside it. Raises ValueError for measures or a number not above zero.
    """
    if times < 1:
        raise ValueError(f"a thread passes at least once, not {times} times")
    what = f"{in_figures(thread_mm)} mm thread"
    hole = f"through a {in_figures(hole_mm)} mm hole"
    doubtful = ""
    for needle in NEEDLES:
        least, most = _passes(needle, hole_mm, thread_mm)
        if least >= times:
            says = f"needle no. {needle.number} takes {what} {often(times)} {hole}{doubtful}"
            return NeedleAdvice(needle, least, says, _rests_on(needle))
        if most >= times and not doubtful:
            doubtful = f" (no. {needle.number}: {_from_to(least, most)})"
    finest = NEEDLES[-1]
    least, most = _passes(finest, hole_mm, thread_mm)
    passed = f"passes {_from_to(least, most)}" if most else "does not pass"
    says = (
        f"no needle is sure to take {what} {often(times)} {hole}; no. {finest.number} {passed}"
        f"{doubtful}"
    )
    return NeedleAdvice(None, least, says, _rests_on(finest))


def _passes(needle: Needle, hole_mm: float, thread_mm: float) -> tuple[int, int]:
    """How often a needle passes, at its thickest and at its thinnest."""
    least, most = (
        passes(hole_mm, thread_mm, lead_mm(needle_mm, thread_mm))
        for needle_mm in (needle.most_mm, needle.least_mm)
    )
    return least, most


def _from_to(least: int, most: int) -> str:
    if least == most:
        return often(least)
    if (least, most) == (1, 2):
        return "once or twice"
    return f"{least} to {most} times" if least else f"at most {often(most)}"


def strand_passes(hole_mm: float, thread_mm: float) -> Fit:
    """Whether a stiffened end of the strand's own thread goes through a bead once.

    Good practice is a cord that fills half to two thirds of the hole (topcenter.typepad.com,
    Sep 2014); a looser one passes too.
    """
    ok = passes(hole_mm, thread_mm) >= 1
    return Fit(
        ok,
        f"{in_figures(thread_mm)} mm thread {'passes' if ok else 'does not pass'}"
        f" a {in_figures(hole_mm)} mm hole "
        f"({thread_mm / hole_mm:.0%} of it)",
    )


@lru_cache(maxsize=1024)
def finish_fit(hole_mm: float, thread_mm: float, threads: int, times: int) -> Fit:
    """Whether the smallest bead takes all the passes of the finish.

    `threads` through one dressed end, each in `times` passes.
    """
    total = threads * times
    advice = needle_for(hole_mm, thread_mm, total)
    says = (
        f"the finish takes {plural(threads, 'thread')} in {plural(times, 'pass')},"
        f" {total} in all: {advice.says}"
    )
    return Fit(advice.needle is not None, says)


def glued_end_mm(thread_mm: float, strands: int) -> tuple[float, float]:
    """Diameter of the glued plain end: least and most, a rule of thumb."""
    bundle = bundle_mm(thread_mm, strands)
    return GLUED_END_LEAST * bundle, GLUED_END_MOST * bundle


def end_bead_fit(end_hole_mm: float, thread_mm: float, strands: int) -> Fit:
    """Whether the end bead goes over the glued plain end, at its thickest."""
    least, most = glued_end_mm(thread_mm, strands)
    end = f"the glued plain end is {least:.2f} to {most:.2f} mm thick"
    hole = f"a {in_figures(end_hole_mm)} mm hole"
    if end_hole_mm >= most:
        says = f"{end}: {hole} goes over it"
    elif end_hole_mm >= least:
        says = f"{end}: {hole} may not go over it, try before glueing"
    else:
        says = f"{end}: {hole} does not go over it, take {most:.1f} mm or more"
    return Fit(end_hole_mm >= most, says)


def _rests_on(needle: Needle) -> str:
    least, most = in_figures(needle.least_mm), in_figures(needle.most_mm)
    thick = most if least == most else f"{least} to {most}"
    known = "as printed by a shop" if needle.confirmed else "from memory, not confirmed"
    return (
        f"needle no. {needle.number} at {thick} mm ({known}); circles packed in a circle;"
        " advice, try one bead first"
    )
