"""A pattern worked up for making: resolved, planned, predicted, with its marks and findings."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path

from bench.craft.bead_weighings import masses_g
from bench.craft.beads import BeadSize
from bench.craft.growth import Growth, grow, sizes_of
from bench.craft.marks import Housekeeping, Mark, work_out
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.soundness import findings
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.craft.weight_plan import StandWeights, WeightPlan, joined, weigh, weight_marks
from bench.documents.library import Library
from bench.documents.reading import at_key
from bench.documents.settings import Settings
from bench.making.calibration import Calibration


@dataclass(frozen=True)
class WorkedPattern:
    """One pattern in one size and colourway, ready to be shown, counted or started."""

    name: str
    size: str | None
    colourway: str | None
    pattern: Pattern
    structure: Structure
    plan: Plan
    sizes: dict[str, BeadSize]
    growth: Growth
    marks: tuple[Mark, ...]
    warnings: tuple[str, ...]
    calibration: Calibration
    weighing: WeightPlan | None
    """None where the maker's tama or weights do not go with the pattern."""


def work_up(
    library: Library,
    settings: Settings,
    name: str,
    size: str | None = None,
    colourway: str | None = None,
    calibration: Calibration | None = None,
) -> WorkedPattern:
    """Work up a pattern given by its name or by a file's path.

    What earlier pieces told (`past`) shifts length and thickness, and with them the marks.

    Raises DocumentError for a file that is wrong, Fault for a name, size or colourway that is
    not there.
    """
    path = library.pattern_path(name)
    document = library.pattern(path)
    return _work_up(
        path, library, settings, document, size, colourway, calibration or Calibration()
    )


def _work_up(
    path: Path,
    library: Library,
    settings: Settings,
    document: Pattern,
    size: str | None,
    colourway: str | None,
    calibration: Calibration,
) -> WorkedPattern:
    pattern = document.resolve(size, colourway)
    try:
        plan = library.plan(path, pattern)
        sizes = sizes_of(pattern)
        growth = calibration.corrections.apply(grow(plan, sizes, settings.thumb.plain_cross_mm))
    except Fault as fault:
        raise at_key(path, _in_size(fault, document, size)) from None
    keep = Housekeeping(settings.thumb.let_out_mm, settings.thumb.rehang_mm)
    marks = work_out(plan, growth, sizes, keep)
    halts = [mark.after_cross for mark in marks if mark.id.startswith("halt-")]
    masses = masses_g(pattern, sizes, calibration.weighed)
    weighing = None
    with contextlib.suppress(ValueError):
        weighing = weigh(plan, masses, hanging_of(settings, plan.strands), halts)
        marks = joined(marks, weight_marks(weighing))
    return WorkedPattern(
        path.stem,
        size,
        colourway,
        pattern,
        plan.structure,
        plan,
        sizes,
        growth,
        marks,
        findings(plan, growth, sizes),
        calibration,
        weighing,
    )


def _in_size(fault: Fault, document: Pattern, size: str | None) -> Fault:
    """Return a fault of a bead with the key of the size that brought it in, if one did."""
    changed = {} if size is None else document.sizes[size].beads
    if len(fault.key) > 1 and fault.key[0] == "beads" and fault.key[1] in changed:
        return Fault(str(fault), "sizes", size or "", "beads", fault.key[1])
    return fault


def hanging_of(settings: Settings, strands: int) -> StandWeights:
    """What the maker hangs on so many strands, by the settings."""
    stand = settings.stand
    tama = stand.tama_g if isinstance(stand.tama_g, tuple) else (stand.tama_g,) * strands
    return StandWeights(tama, stand.weights_g, stand.fraction, stand.bag_g)


def check_file(library: Library, settings: Settings, path: Path) -> list[str]:
    """Work up a pattern's file in every size; return its warnings, named by size.

    Raises DocumentError or Fault for what is wrong.
    """
    document = library.pattern(path)
    warnings: list[str] = []
    for size in (None, *document.sizes):
        made = _work_up(path, library, settings, document, size, None, Calibration())
        new = [w for w in made.warnings if w not in warnings]
        warnings += [w if size is None else f"size {size}: {w}" for w in new]
    return warnings
