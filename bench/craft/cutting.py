"""Thread and needle of a piece: what to cut, what passes the beads, how the end is dressed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bench.craft import thread
from bench.craft.beads import BeadSize
from bench.craft.growth import thread_mm
from bench.craft.needles import NeedleAdvice, end_bead_fit, finish_fit, needle_for, strand_passes
from bench.craft.packing import Fit
from bench.craft.plan import Plan
from bench.craft.thread import Cut, Hang


@dataclass(frozen=True, slots=True)
class Cutting:
    """What to cut for one piece, and what one strand is made up of."""

    cuts: tuple[Cut, ...]
    worked_in_mm: float
    hang_mm: float
    take_up: float
    findings: tuple[str, ...]

    @property
    def total_m(self) -> float:
        """Thread of one piece, in metres."""
        return sum(cut.total_m for cut in self.cuts)


@dataclass(frozen=True, slots=True)
class Passing:
    """What goes through the beads, and how often.

    `smallest` is the letter of the load's smallest bead, of which the dressed ends are strung.
    """

    smallest: str
    loading: NeedleAdvice
    stiffened: Fit
    finish: Fit | None
    finish_needle: NeedleAdvice | None
    end_bead: Fit | None
    avoid: tuple[str, ...]
    """Letters whose hole does not take the passes of the finish: not for the dressed ends."""

    @property
    def load_with(self) -> str:
        """What the beads are loaded with, in a few words."""
        if self.loading.needle is not None:
            return f"needle no. {self.loading.needle.number}"
        return "a stiffened thread end" if self.stiffened.ok else "nothing that passes"

    @property
    def loading_says(self) -> str:
        """What the beads are loaded with, in a sentence; a needle is advice."""
        if self.loading.needle is None:
            return f"Load with {self.load_with}: {self.stiffened.says}."
        return f"Load with {self.load_with}: advice, try it on one bead first."

    @property
    def needles(self) -> str:
        """The needles for loading and, if another, for the ends."""
        if self.finish_needle is None or self.finish_needle.needle is None:
            return self.load_with
        number = self.finish_needle.needle.number
        if self.loading.needle is not None and self.loading.needle.number == number:
            return f"needle no. {number}"
        return f"{self.load_with} to load, no. {number} for the ends"


def cut_for(plan: Plan, braid_mm: float, hang: Hang, take_up: float) -> Cutting:
    """Work out what to cut for one piece of so long a braid."""
    doubles = len(plan.pattern.threads.double_lengths)
    cuts = thread.cut(braid_mm, plan.strands, doubles, hang=hang, take_up=take_up)
    findings = tuple(
        f"double lengths of {cut.cut_mm / 1000:.2f} m tangle: cut single strands for so long a"
        " braid (double_lengths = [])"
        for cut in cuts
        if thread.too_long_for_doubles(cut)
    )
    return Cutting(cuts, take_up * braid_mm, hang.total_mm, take_up, findings)


def passing(plan: Plan, sizes: Mapping[str, BeadSize]) -> Passing | None:
    """Work out what passes the beads of a plan; None without beads."""
    used = sorted({letter for load in plan.loads for letter in load if letter in sizes})
    if not used:
        return None
    fine = thread_mm(plan.pattern.threads)
    smallest = min(used, key=lambda x: (sizes[x].diameter_mm, sizes[x].hole_mm))
    ends = plan.pattern.finish
    finish = needle = end_bead = None
    avoid: tuple[str, ...] = ()
    if ends.threads:
        hole = sizes[smallest].hole_mm
        finish = finish_fit(hole, fine, ends.threads, ends.passes)
        needle = needle_for(hole, fine, ends.threads * ends.passes)
        avoid = tuple(
            letter
            for letter in used
            if not finish_fit(sizes[letter].hole_mm, fine, ends.threads, ends.passes).ok
        )
    if ends.end_bead_hole_mm is not None:
        end_bead = end_bead_fit(ends.end_bead_hole_mm, fine, plan.strands)
    hole = min(sizes[letter].hole_mm for letter in used)  # loading must pass the narrowest once
    return Passing(
        smallest,
        needle_for(hole, fine, 1),
        strand_passes(hole, fine),
        finish,
        needle,
        end_bead,
        avoid,
    )


def passing_findings(plan: Plan, sizes: Mapping[str, BeadSize]) -> Iterator[str]:
    """Say where needle, finish or end bead do not go through. Nothing where all fits."""
    found = passing(plan, sizes)
    if found is None:
        return
    if found.finish is not None and not found.finish.ok:
        bead = sizes[found.smallest]
        yield (
            f"bead {found.smallest} ({bead.name}, hole {bead.hole_mm:g} mm), the smallest, does not"
            f" take the ends: {found.finish.says}; fewer passes, a finer thread or a wider hole"
        )
    if found.end_bead is not None and not found.end_bead.ok:
        yield f"the end bead: {found.end_bead.says}"
