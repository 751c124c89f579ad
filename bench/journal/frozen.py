"""The plan that a piece was started with, thawed out of its first event."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.load import SKIP
from bench.craft.mark import Mark
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.journal.errors import Damaged
from bench.journal.payloads import PieceStarted
from bench.pace.records import Work


@dataclass(frozen=True, slots=True)
class Frozen:
    """A piece's pattern, structure, plan and marks as they were when it was started."""

    pattern: Pattern
    structure: Structure
    plan: Plan
    marks: tuple[Mark, ...]


def thaw(started: PieceStarted) -> Frozen:
    """Return the plan that a piece was started with. Raises Damaged if it cannot be read."""
    try:
        pattern = Pattern.model_validate(started.pattern)
        structure = Structure.model_validate(started.structure)
        return Frozen(pattern, structure, Plan(pattern, structure), started.marks)
    except (KeyError, TypeError, ValueError) as error:
        raise Damaged("The plan of this piece cannot be read from the journal.") from error


def work_of(plan: Plan) -> Work:
    """The beads, strands and crosses of a plan."""
    beads = sum(len(load.replace(SKIP, "")) for load in plan.loads)
    return Work(beads, plan.strands, max(1, plan.crosses))


def frozen_work(started: PieceStarted | None) -> Work | None:
    """The work in a piece, from the event that started it; None if that cannot be read."""
    try:
        return None if started is None else work_of(thaw(started).plan)
    except Damaged:
        return None
