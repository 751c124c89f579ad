"""What takes long is worked out of a sheet off the key's way: growth, findings, figures."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from bench.commission.piece_figures import PieceFigures
from bench.craft.beads import mass_g
from bench.craft.findings import Finding
from bench.craft.growth import Growth, grow, sizes_of
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.soundness import findings
from bench.craft.stringing import fold_load
from bench.craft.text import Fault
from bench.design.sheet import Sheet
from bench.screens.kit.hanging_braid import HangingBraid, hanging


@dataclass(frozen=True)
class WorkedOut:
    """What follows from a sheet in a size of its pattern.

    `growth` is None while no bead is laid. `wrong`: why it could not be worked out. Open cells
    count as moves without a bead. `piece`: its time and price, where they are shown beside it.
    """

    sheet: Sheet
    size: str | None
    plan: Plan | None = None
    growth: Growth | None = None
    findings: tuple[Finding, ...] = ()
    beads: int = 0
    grams: float = 0.0
    hanging: HangingBraid | None = None
    wrong: str = ""
    piece: PieceFigures | None = None

    @property
    def says(self) -> str:
        """Length, thickness, beads and grams in words."""
        if self.wrong:
            return self.wrong
        if self.growth is None:
            return "no bead is laid yet"
        return f"{self.growth.size_says}, {self.beads:,} beads, {self.grams:.1f} g"


def work_out(sheet: Sheet, pattern: Pattern, size: str | None) -> WorkedOut:
    """Work a sheet out; `pattern` is its own in the size and colourway that are shown."""
    for load in dict.fromkeys(sheet.loads):
        load_in_words(load)
    bare = sheet.laid()
    if not any(bare.loads):
        return WorkedOut(sheet, size)
    try:
        plan = Plan(pattern, sheet.structure, bare.loads)
        sizes = sizes_of(pattern)
        growth = grow(plan, sizes)
        found = findings(plan, growth, sizes)
        counts = bare.counts()
        grams = sum(count * mass_g(sizes[letter]) for letter, count in counts.items())
    except Fault as fault:
        return WorkedOut(sheet, size, wrong=str(fault))
    braid = None if growth.lattice is None else hanging("", plan, sizes)
    return WorkedOut(sheet, size, plan, growth, found, sum(counts.values()), grams, braid)


@lru_cache(maxsize=256)
def load_in_words(load: str) -> str:
    """A load as counts and letters, repeats folded; kept, since a long one takes its time."""
    return fold_load(load)
