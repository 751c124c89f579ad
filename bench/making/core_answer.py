"""The answer of `core`: the core of a pattern worked up, as planned and as suggested."""

from __future__ import annotations

from collections.abc import Mapping

from bench.answers.core import CoreAnswer, CorePart, CoreStack, RingLine
from bench.craft import core
from bench.craft.core import CoreFit
from bench.craft.core_choice import CoreChoice
from bench.craft.growth import thread_mm
from bench.craft.load import parse_load, write_load
from bench.craft.mark import MarkKind
from bench.making.worked_pattern import WorkedPattern


def core_answer(made: WorkedPattern) -> CoreAnswer:
    """What `core` says: the planned core, a suggested one, and what fits each ring."""
    return CoreAnswer(pattern=made.name, core=core_part(made))


def core_part(made: WorkedPattern) -> CorePart:
    """The core as planned and as suggested by the predicted lattice."""
    choice = made.core_choice
    on = made.pattern.core.on if made.pattern.core is not None else None
    marks = {mark.kind: mark.after_cross for mark in made.marks}
    return CorePart(
        on=on,
        planned=_planned(made, choice, marks),
        suggested=(
            _stack(made, choice.suggested, choice.written(choice.suggested))
            if choice.suggested
            else None
        ),
        rings=tuple(
            RingLine(
                bead=ring.letter,
                size=ring.bead.name,
                free_mm=round(ring.free_mm, 2),
                largest=ring.takes.name if ring.takes is not None else None,
            )
            for ring in choice.rings
        ),
        wire_mm=core_wire_mm(made),
        cord_mm=core_cord_mm(made),
        down_after_cross=marks.get("core-down"),
        clip_off_after_cross=marks.get("upper-clip-off"),
        out_after_cross=marks.get("wire-out", marks.get("core-cord-off")),
    )


def core_wire_mm(made: WorkedPattern) -> int | None:
    """The wire to cut for a core that is planned or suggested; None where there is none."""
    choice, planned = made.core_choice, made.pattern.core
    wired = choice.suggested is not None if planned is None else planned.on == "wire"
    return round(core.wire_mm(made.growth.high_mm, choice.parked_mm)) if wired else None


def core_cord_mm(made: WorkedPattern) -> int | None:
    """The cord to cut for a core without beads; None for any other."""
    planned = made.pattern.core
    on_cord = planned is not None and planned.on == "cord"
    return round(core.cord_mm(made.growth.high_mm)) if on_cord else None


def core_beads(made: WorkedPattern) -> str:
    """The letters of the core beads, first in first; empty without any."""
    planned = made.pattern.core
    return parse_load(planned.beads) if planned is not None else ""


def _planned(
    made: WorkedPattern, choice: CoreChoice, marks: Mapping[MarkKind, int]
) -> CoreStack | None:
    """The planned core; its fit is left open where the columns of the braid are not known."""
    if not choice.groups:
        return None
    written = write_load(core_beads(made))
    if choice.planned is not None:
        return _stack(made, choice.planned, written)
    return CoreStack(
        beads=written,
        length_mm=round(choice.parked_mm, 1),
        room_mm=None,
        down_after_cross=marks.get("core-down", 0),
        clip_off_after_cross=marks.get("upper-clip-off", 0),
        edges_decide=(),
        findings=(
            "the columns of this braid are not known: whether the core fits, and when it is"
            " inside, is a guess; try it on the sample",
        ),
    )


def _stack(made: WorkedPattern, fit: CoreFit, written: str) -> CoreStack:
    lattice = made.growth.lattice
    fine = thread_mm(made.pattern.threads)
    return CoreStack(
        beads=written,
        length_mm=round(fit.length_mm, 1),
        room_mm=round(fit.room_mm, 1),
        down_after_cross=fit.down_after_cross,
        clip_off_after_cross=fit.clip_off_after_cross,
        edges_decide=core.edges_decide(lattice, fit, fine) if lattice is not None else (),
        findings=tuple(finding.says for finding in fit.findings),
    )
