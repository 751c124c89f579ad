"""The core of a pattern worked up: as planned, as suggested, and its marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bench.answers.core import CoreAnswer, CorePart, CoreStack, RingLine
from bench.craft import core
from bench.craft.beads import BeadSize
from bench.craft.core import CoreFit
from bench.craft.growth import thread_mm
from bench.craft.lattice import radius_factor
from bench.craft.load import SKIP, parse_load, write_load
from bench.craft.marks import core_groups
from bench.making.worked_pattern import WorkedPattern


def core_answer(made: WorkedPattern) -> CoreAnswer:
    """What `core` says: the planned core, a suggested one, and what fits each ring."""
    return CoreAnswer(pattern=made.name, core=core_part(made))


def core_part(made: WorkedPattern) -> CorePart:
    """The core as planned and as suggested by the predicted lattice."""
    planned = made.pattern.core
    lattice = made.growth.lattice
    fine = thread_mm(made.pattern.threads)
    plan = suggested = None
    rings: tuple[RingLine, ...] = ()
    groups: list[core.CoreGroup] = []
    if planned is not None and planned.on == "wire" and planned.beads:
        groups = core_groups(planned.beads, made.sizes)
    if lattice is not None:
        letters = _core_letters(made)
        candidates = tuple(made.sizes[letter] for letter in letters.values())
        if groups:
            plan = core.check(lattice, groups, tuple(made.sizes.values()), fine)
        suggested = core.suggest(lattice, candidates, fine) if candidates else None
        factor = radius_factor(lattice.columns)
        rings = tuple(
            _ring(letter, made.sizes[letter], candidates, fine, factor)
            for letter in sorted({x for load in made.plan.loads for x in load} - {SKIP})
        )
    on = planned.on if planned is not None else None
    marks = {mark.id: mark.after_cross for mark in made.marks}
    parked_mm = core.stack_mm(groups or (suggested.groups if suggested is not None else ()))
    shown = None
    if plan is not None:
        shown = _stack(made, plan, write_load(core_beads(made)))
    elif groups:
        shown = _stack_unjudged(made, parked_mm, marks)
    return CorePart(
        on=on,
        planned=shown,
        suggested=_stack(made, suggested) if suggested is not None else None,
        rings=rings,
        wire_mm=(
            round(core.wire_mm(made.growth.length_mm, parked_mm))
            if on == "wire" or (on is None and suggested is not None)
            else None
        ),
        cord_mm=round(core.cord_mm(made.growth.length_mm)) if on == "cord" else None,
        down_after_cross=marks.get("core-down"),
        clip_off_after_cross=marks.get("upper-clip-off"),
        out_after_cross=marks.get("wire-out", marks.get("core-cord-off")),
    )


def core_beads(made: WorkedPattern) -> str:
    """The letters of the core beads, first in first; empty without any."""
    core_of = made.pattern.core
    return parse_load(core_of.beads) if core_of is not None else ""


def _core_letters(made: WorkedPattern) -> dict[tuple[str, str], str]:
    """A letter for each size that can lie in a core, the first of equal ones; no drops."""
    letters: dict[tuple[str, str], str] = {}
    for letter, size in sorted(made.sizes.items()):
        if size.shape != "drop":
            letters.setdefault((size.name, size.shape), letter)
    return letters


def _ring(
    letter: str, bead: BeadSize, candidates: Sequence[BeadSize], fine: float, factor: float
) -> RingLine:
    fits = core.largest_core(bead, candidates, fine, factor)
    free = core.free_mm(bead.diameter_mm, fine, factor)
    return RingLine(
        bead=letter,
        size=bead.name,
        free_mm=round(max(0.0, free), 2),
        largest=fits.name if fits is not None else None,
    )


def _stack(made: WorkedPattern, plan: CoreFit, written: str = "") -> CoreStack:
    letters = _core_letters(made)
    return CoreStack(
        beads=written
        or " ".join(
            f"{g.count}{letters.get((g.bead.name, g.bead.shape), '?')}" for g in plan.groups
        ),
        length_mm=round(plan.length_mm, 1),
        room_mm=round(plan.room_mm, 1),
        down_after_cross=plan.down_after_cross,
        clip_off_after_cross=plan.clip_off_after_cross,
        findings=tuple(finding.says for finding in plan.findings),
    )


def _stack_unjudged(made: WorkedPattern, length_mm: float, marks: Mapping[str, int]) -> CoreStack:
    """A core in a braid whose columns are not known: laid out as typed, its fit left open."""
    return CoreStack(
        beads=write_load(core_beads(made)),
        length_mm=round(length_mm, 1),
        room_mm=None,
        down_after_cross=marks.get("core-down", 0),
        clip_off_after_cross=marks.get("upper-clip-off", 0),
        findings=(
            "the columns of this braid are not known: whether the core fits, and when it is"
            " inside, is a guess; try it on the sample",
        ),
    )
