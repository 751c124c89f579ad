"""Braids as they hang from their start, side by side at one scale, each with its core beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from bench.craft.beads import BeadSize
from bench.craft.core_choice import choose_core
from bench.craft.growth import lattice_of, sizes_of
from bench.craft.lattice import Lattice
from bench.craft.load import SKIP, parse_load
from bench.craft.plan import Plan
from bench.screens.kit.braid_painter import SeenBead, paint, seen
from bench.screens.kit.canvas import Canvas

MOST_CROSSES = 400
"""Crosses that are laid for a picture; a long rope looks alike all along."""
LEAST_DOTS = 1.5
"""Dots that a braid's largest bead gets at least: a longer braid is not shrunk further, but cut."""
CUT_DOTS = 4.0
"""Dots that the largest bead of a braid gets that is cut, so that its pattern is seen."""
HEADS = 2
"""Lines over each braid: its name, if they have names, and how much of it is painted."""
BETWEEN = 2
"""Columns between two braids."""
LEAST_COLUMNS = 7
"""Columns that a braid's name needs."""
CORE_GAP_MM = 3.0
ROUNDING_MM = 0.1


@dataclass(frozen=True)
class HangingBraid:
    """What is painted of one braid, its core to the right of it.

    wide_mm: with the core; long_mm: of what is laid; is_whole: whether that is all of it.
    """

    name: str
    beads: tuple[SeenBead, ...]
    wide_mm: float
    long_mm: float
    is_whole: bool = True
    one_strand: bool = False
    """Whether it is the beads of one strand, where the columns are not known."""


def hanging(name: str, plan: Plan, sizes: dict[str, BeadSize]) -> HangingBraid | None:
    """What there is to paint of a plan; nothing without beads. Raises Fault as `grow` does."""
    if not plan.last_bead_cross:
        return None
    if plan.structure.columns is None or plan.structure.turn is None:
        return _strand_alone(name, plan, sizes)
    crosses = min(plan.crosses, MOST_CROSSES)
    lattice = lattice_of(plan, sizes, crosses=crosses)
    colours = {letter: bead.colour for letter, bead in plan.pattern.beads.items()}
    braid = seen(lattice.spots, colours, 0.0)
    core = _core(plan, lattice, sizes)
    if not core:
        return _framed(name, braid, crosses == plan.crosses)
    reach_mm = max(bead.across_mm + bead.diameter_mm / 2 for bead in braid)
    off_mm = reach_mm + CORE_GAP_MM + max(bead.diameter_mm for bead in core) / 2
    beside = [replace(bead, across_mm=off_mm) for bead in core]
    return _framed(name, [*braid, *beside], crosses == plan.crosses)


@lru_cache(maxsize=64)
def hanging_as_chosen(
    plan: Plan, size: str | None = None, colourway: str | None = None
) -> HangingBraid | None:
    """The same of a plan in a size and colourway; kept for those that were shown last.

    Raises Fault for a size or colourway that is not there.
    """
    chosen = plan.resolved(size, colourway)
    return hanging("", chosen, sizes_of(chosen.pattern))


def _framed(name: str, beads: Sequence[SeenBead], is_whole: bool) -> HangingBraid:
    """Beads with the middle of them all as their axis."""
    left = min(bead.across_mm - bead.diameter_mm / 2 for bead in beads)
    right = max(bead.across_mm + bead.diameter_mm / 2 for bead in beads)
    top = min(bead.along_mm - bead.diameter_mm / 2 for bead in beads)
    foot = max(bead.along_mm + bead.diameter_mm / 2 for bead in beads)
    middle = (left + right) / 2
    centred = (replace(bead, across_mm=bead.across_mm - middle) for bead in beads)
    return HangingBraid(name, tuple(centred), right - left, foot - top, is_whole)


def _core(plan: Plan, lattice: Lattice, sizes: dict[str, BeadSize]) -> list[SeenBead]:
    """The planned core beads where they come to lie; none where the core is a cord."""
    fit = choose_core(plan, lattice, sizes).planned
    if fit is None or plan.pattern.core is None:
        return []
    return _stacked(plan, parse_load(plan.pattern.core.beads), sizes, fit.from_mm)


def _strand_alone(name: str, plan: Plan, sizes: dict[str, BeadSize]) -> HangingBraid:
    """The beads of the first strand that has any."""
    load = next(load for load in plan.loads if load)[:MOST_CROSSES]
    strung = _stacked(plan, load.replace(SKIP, ""), sizes, 0.0)
    return replace(_framed(name, strung, is_whole=True), one_strand=True)


def _stacked(
    plan: Plan, letters: str, sizes: dict[str, BeadSize], from_mm: float
) -> list[SeenBead]:
    """Beads one on the other."""
    found, at_mm = list[SeenBead](), from_mm
    for letter in letters:
        size = sizes[letter]
        middle = at_mm + size.length_mm / 2
        colour = plan.pattern.beads[letter].colour
        found.append(SeenBead(0.0, middle, 1.0, size.diameter_mm, colour, letter))
        at_mm += size.length_mm
    return found


def draw_hanging(
    canvas: Canvas,
    x: int,
    y: int,
    width: int,
    height: int,
    braids: Sequence[HangingBraid],
    chosen: int,
    *,
    colours: bool,
) -> None:
    """Draw braids side by side at one scale, as many as find room beside the chosen one."""
    heads = HEADS if any(braid.name for braid in braids) else 1
    rows = height - heads
    if not braids or rows < 1:
        return
    shown = list(enumerate(braids))
    dot_mm = _scale(braids, width, rows)
    while len(shown) > 1 and (
        sum(_columns(braid, dot_mm) + BETWEEN for _, braid in shown) - BETWEEN > width
    ):
        last = -1 if shown[-1][0] != chosen else -2
        del shown[last]
        dot_mm = _scale([braid for _, braid in shown], width, rows)
    edge = x + width
    spare = width + BETWEEN - sum(_columns(braid, dot_mm) + BETWEEN for _, braid in shown)
    for number, braid in shown:
        columns = min(width, _columns(braid, dot_mm))
        step = columns + BETWEEN + max(0, spare) // len(shown)
        room = min(step - 1, edge - x)
        is_chosen = number == chosen and len(braids) > 1
        if heads == HEADS:
            canvas.text(x, y, braid.name, "bold" if is_chosen else "", room)
        canvas.text(x, y + heads - 1, _part(braid, 2 * rows * dot_mm), "dim", room)
        box = x, y + heads, columns, rows
        in_sight = _first_mm(braid.beads, 2 * rows * dot_mm)
        paint(canvas, *box, in_sight, dot_mm, new_on_top=False, colours=colours, back=True)
        x += step


def _first_mm(beads: Sequence[SeenBead], long_mm: float) -> list[SeenBead]:
    """The beads that reach into the first millimetres of a braid."""
    tops = [bead.along_mm - bead.diameter_mm / 2 for bead in beads]
    end = min(tops) + long_mm
    return [bead for bead, top in zip(beads, tops, strict=True) if top < end]


def _part(braid: HangingBraid, room_mm: float) -> str:
    """What is painted of a braid, where that is not all of it."""
    if braid.one_strand:
        return "one strand"
    if braid.is_whole and braid.long_mm <= room_mm + ROUNDING_MM:
        return ""
    return f"top {min(room_mm, braid.long_mm):.0f} mm"


def _scale(braids: Sequence[HangingBraid], width: int, rows: int) -> float:
    """Millimetres a dot: all braids whole, if their largest beads are still seen as beads."""
    largest = min(max(bead.diameter_mm for bead in braid.beads) for braid in braids)
    free = max(1, width - BETWEEN * (len(braids) - 1))
    across = sum(braid.wide_mm for braid in braids) / free
    whole = max(across, *(braid.long_mm / (2 * rows) for braid in braids))
    return whole if whole <= largest / LEAST_DOTS else max(across, largest / CUT_DOTS)


def _columns(braid: HangingBraid, dot_mm: float) -> int:
    return max(LEAST_COLUMNS, math.ceil(braid.wide_mm / dot_mm - 1e-6))
