"""Marks: what is to be done after a cross, typed by the maker or worked out from the plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from bench.craft import core
from bench.craft.beads import BeadSize
from bench.craft.cautions import WEIGHT_IN_HAND, WIRE_IN_HAND
from bench.craft.growth import Growth, thread_mm
from bench.craft.load import equal_runs, parse_load
from bench.craft.mark import Mark
from bench.craft.pattern import Halts, Pattern
from bench.craft.plan import Plan

LET_OUT = "Let thread out from every tama, all to one level."
HANG_ANEW = "Hang the weight anew, high on the braid, clear of the base."
CLOSING_CROSSES = 8
"""Up to so many plain crosses close a piece, drawn tight by hand: no halt falls among them."""

_TINY = 1e-9
STICK_IN = "Stick through the strands at the point of braiding, then weight off."


@dataclass(frozen=True, slots=True)
class Housekeeping:
    """When a growing braid needs a hand: both lengths in mm of braid.

    Common practice, no source: thread is let out every 5 to 8 cm, the counterweight is hung
    anew before it touches the base of the stand.
    """

    let_out_mm: float = 70.0
    rehang_mm: float = 140.0

    def of(self, pattern: Pattern) -> Housekeeping:
        """These lengths, or the pattern's own where it has any."""
        own = pattern.halts or Halts()
        return Housekeeping(own.let_out_mm or self.let_out_mm, own.rehang_mm or self.rehang_mm)


def core_groups(beads: str, sizes: Mapping[str, BeadSize]) -> list[core.CoreGroup]:
    """Return a core, written as counts and letters, as groups of beads, first in first."""
    return [core.CoreGroup(sizes[letter], count) for letter, count in equal_runs(parse_load(beads))]


def work_out(
    plan: Plan,
    growth: Growth,
    sizes: dict[str, BeadSize],
    housekeeping: Housekeeping | None = None,
) -> tuple[Mark, ...]:
    """Return every mark of a piece in order: typed ones, and those that follow."""
    marks = [
        Mark(typed.after_cross, f"typed-{number}", "typed", typed.do, (), typed.caution)
        for number, typed in enumerate(plan.pattern.marks, 1)
        if typed.after_cross <= plan.crosses
    ]
    marks += _core_marks(plan, growth, sizes)
    marks += _halts(plan, growth, (housekeeping or Housekeeping()).of(plan.pattern))
    return tuple(sorted(marks, key=lambda mark: mark.after_cross))


def moved(marks: tuple[Mark, ...], before: Plan, after: Plan) -> tuple[Mark, ...]:
    """Return the marks of a piece whose plan was changed: what ends the beads stays at their end.

    Marks at the last bead or in the plain crosses after it move with the last bead; no other one
    lies behind it.
    """
    was, is_ = before.last_bead_cross, after.last_bead_cross
    if was == is_:
        return marks
    crosses = (
        mark.after_cross + is_ - was if mark.after_cross >= was else min(mark.after_cross, is_)
        for mark in marks
    )
    found = [replace(mark, after_cross=to) for mark, to in zip(marks, crosses, strict=True)]
    return tuple(sorted(found, key=lambda mark: mark.after_cross))


def _core_marks(plan: Plan, growth: Growth, sizes: dict[str, BeadSize]) -> list[Mark]:
    pattern = plan.pattern
    if pattern.core is None or not plan.last_bead_cross:
        return []
    if pattern.core.on == "cord":
        return [
            Mark(
                plan.last_bead_cross,
                "core-cord-off",
                "core-cord-off",
                "Core cord off",
                (
                    "Pinch the braid at the point of braiding.",
                    "Cut the core cord level with the point; the plain crosses close over it.",
                ),
            )
        ]
    marks = []
    if pattern.core.beads:
        marks.append(
            Mark(
                min(pattern.core.down_after_cross, plan.last_bead_cross),
                "core-down",
                "core-down",
                "Core down",
                (
                    "Hold the wire above the core and open the upper wire clip.",
                    "Let the core beads slide down the wire until the first one sits in the braid.",
                    "Close the clip on the wire just above the last core bead.",
                ),
                WIRE_IN_HAND,
            )
        )
        groups = core_groups(pattern.core.beads, sizes)
        down = pattern.core.down_after_cross
        if growth.lattice is None:
            off = grown_over(growth, core.stack_mm(groups), down)
        else:
            fit = core.check(
                growth.lattice, groups, tuple(sizes.values()), thread_mm(pattern.threads)
            )
            off = swallowed_after(growth, fit, down)
        marks.append(
            Mark(
                min(plan.row_end(min(off, plan.crosses)), plan.last_bead_cross),
                "upper-clip-off",
                "upper-clip-off",
                "Upper clip off",
                (
                    "See that the last core bead is inside the braid.",
                    "Take the upper wire clip off; leave the lower one on.",
                ),
                WIRE_IN_HAND,
            )
        )
    marks.append(
        Mark(
            plan.last_bead_cross,
            "wire-out",
            "wire-out",
            "Wire out",
            (
                "Take the lower wire clip off and straighten or cut the lower tail: no kink.",
                "Pinch the braid just below the point of braiding.",
                "Draw the wire upward, slowly, all the way out.",
            ),
            WIRE_IN_HAND,
        )
    )
    return marks


def swallowed_after(growth: Growth, fit: core.CoreFit, down_after_cross: int) -> int:
    """The cross after which the core is inside the braid, if it comes down after that cross.

    A core that comes down later than it could lies so much higher in the braid. One more than the
    crosses of the piece: it never is.
    """
    grown = growth.after_mm
    late_mm = grown[min(down_after_cross, growth.crosses)] - grown[fit.down_after_cross]
    if late_mm <= 0:
        return fit.clip_off_after_cross
    return growth.first_cross_beyond(grown[fit.clip_off_after_cross] + late_mm)


def grown_over(growth: Growth, core_mm: float, down_after_cross: int) -> int:
    """The cross after which the braid has grown over a core, where no lattice tells its place.

    The core then sits on the braid as it is when it comes down. One more than the crosses of the
    piece: it never is inside.
    """
    down = min(down_after_cross, growth.crosses)
    return growth.first_cross_beyond(growth.after_mm[down] + core_mm)


def _halts(plan: Plan, growth: Growth, keep: Housekeeping) -> list[Mark]:
    """Halts on a long braid: let out thread, and with it, at times, hang anew.

    Each lies as late as it can, at the end of a row: up to the next one, and from the last one to
    the end of the beads, the braid grows by no more than the lengths to keep. Where one row is
    longer than that, after every row.
    """
    grown = growth.after_mm
    end = plan.last_bead_cross
    if plan.crosses - end > CLOSING_CROSSES:
        end = plan.crosses
    let_out_mm = min(keep.let_out_mm, keep.rehang_mm) + _TINY
    places = [cross for cross in _stopping_places(plan) if cross < end]
    halts: list[int] = []
    for here, following in pairwise([*places, end]):
        if grown[following] - (grown[halts[-1]] if halts else 0.0) > let_out_mm:
            halts.append(here)
    marks = []
    hung_mm = 0.0
    for number, (cross, following) in enumerate(pairwise([*halts, end]), 1):
        if grown[following] - hung_mm <= keep.rehang_mm + _TINY:
            marks.append(Mark(cross, f"halt-{number}", "halt", "Let out thread", (LET_OUT,)))
            continue
        hung_mm = grown[cross]
        steps = (STICK_IN, LET_OUT, HANG_ANEW, "Stick out.")
        marks.append(
            Mark(cross, f"rehang-{number}", "rehang", "Let out, hang anew", steps, WEIGHT_IN_HAND)
        )
    return marks


def _stopping_places(plan: Plan) -> Iterator[int]:
    """The crosses after which one may stop: the ends of rows, of rounds where it is plain."""
    cross = 0
    while cross < plan.crosses:
        end = plan.row_end(cross + 1)
        if plan.row_at(cross + 1)[0] is None:
            end = min(end, cross + len(plan.structure.round))
        yield end
        cross = end
