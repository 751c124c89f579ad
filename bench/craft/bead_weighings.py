"""Bead weighings: what beads weighed on a scale tell of the mass of each bead of a pattern."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bench.craft import weight_proof
from bench.craft.beads import BeadSize
from bench.craft.pattern import Pattern
from bench.craft.weight_proof import BeadMass


@dataclass(frozen=True, slots=True)
class WeighedBeads:
    """So many beads of a kind, weighed together on a scale of that resolution."""

    size: str
    shape: str
    name: str
    beads: int
    grams: float
    resolution_g: float


def masses_of(
    pattern: Pattern, sizes: Mapping[str, BeadSize], weighed: Iterable[WeighedBeads]
) -> dict[str, BeadMass]:
    """The mass of each bead of a pattern by letter: the table's, improved by what was weighed.

    A weighing counts for beads of the same size and shape; of the same name too, if any weighing
    has that name. Where none has, the finish leaves a doubt.
    """
    known = list(weighed)
    masses = {}
    for letter, bead in pattern.beads.items():
        mass = weight_proof.from_table(sizes[letter])
        alike = [w for w in known if (w.size, w.shape) == (bead.size, bead.shape)]
        named = [w for w in alike if w.name == bead.name]
        for one in named or alike:
            if one.grams > 0 and one.resolution_g > 0:
                mass = weight_proof.weighed(mass, one.beads, one.grams, one.resolution_g)
        masses[letter] = weight_proof.of_another_name(mass) if alike and not named else mass
    return masses


def masses_g(
    pattern: Pattern, sizes: Mapping[str, BeadSize], weighed: Iterable[WeighedBeads]
) -> dict[str, float]:
    """The mean mass of each bead in grams, by letter."""
    masses = masses_of(pattern, sizes, weighed)
    return {letter: mass.mean_g for letter, mass in masses.items()}
