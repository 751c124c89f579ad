"""The core of a pattern: the one that was planned, one to suggest, and what each ring takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bench.craft import core
from bench.craft.beads import BeadSize
from bench.craft.growth import thread_mm
from bench.craft.lattice import Lattice, radius_factor
from bench.craft.load import SKIP
from bench.craft.marks import core_groups
from bench.craft.plan import Plan


@dataclass(frozen=True, slots=True)
class Ring:
    """The free width inside a ring of one bead, and the thickest core bead that fits it."""

    letter: str
    bead: BeadSize
    free_mm: float
    takes: BeadSize | None


@dataclass(frozen=True, slots=True)
class CoreChoice:
    """What can be said of a core; without a lattice only `groups`, as it was planned.

    `letters` has one letter for each size and shape that can lie in a core.
    """

    groups: tuple[core.CoreGroup, ...]
    letters: Mapping[tuple[str, str], str]
    planned: core.CoreFit | None = None
    suggested: core.CoreFit | None = None
    rings: tuple[Ring, ...] = ()

    @property
    def parked_mm(self) -> float:
        """The length of the core beads above the braid: as planned, else as suggested."""
        return core.stack_mm(self.groups or (self.suggested.groups if self.suggested else ()))

    def written(self, fit: core.CoreFit) -> str:
        """A core as counts and letters, first in first; '?' for a bead that has no letter."""
        named = ((g.count, self.letters.get((g.bead.name, g.bead.shape), "?")) for g in fit.groups)
        return " ".join(f"{count}{letter}" for count, letter in named)


def choose_core(plan: Plan, lattice: Lattice | None, sizes: Mapping[str, BeadSize]) -> CoreChoice:
    """Fit the planned core into the braid, and grade one from the pattern's own beads."""
    planned = plan.pattern.core
    beads = planned.beads if planned is not None and planned.on == "wire" else ""
    groups = tuple(core_groups(beads, sizes))
    letters: dict[tuple[str, str], str] = {}
    for letter, size in sorted(sizes.items()):
        if size.shape != "drop":
            letters.setdefault((size.name, size.shape), letter)
    if lattice is None:
        return CoreChoice(groups, letters)
    fine = thread_mm(plan.pattern.threads)
    factor = radius_factor(lattice.columns)
    candidates = tuple(sizes[letter] for letter in letters.values())
    rings = tuple(
        Ring(
            letter,
            sizes[letter],
            max(0.0, core.free_mm(sizes[letter].diameter_mm, fine, factor)),
            core.largest_core(sizes[letter], candidates, fine, factor),
        )
        for letter in sorted({letter for load in plan.loads for letter in load} - {SKIP})
    )
    return CoreChoice(
        groups,
        letters,
        core.check(lattice, groups, tuple(sizes.values()), fine) if groups else None,
        core.suggest(lattice, candidates, fine) if candidates else None,
        rings,
    )
