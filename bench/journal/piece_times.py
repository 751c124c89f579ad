"""The clean times of a piece, as the pace, the screens and CSV take them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from bench.craft.load import SKIP
from bench.craft.pattern import Pattern
from bench.craft.plan import Plan
from bench.craft.structure import Structure
from bench.craft.text import Fault
from bench.pace.gaps import StageSum
from bench.pace.records import STAGES, Stage, Work


@dataclass(frozen=True, slots=True)
class PieceTimes:
    """What is known of one piece's times.

    `work` is None where its frozen pattern cannot be read. `stages` has the hands-on stages that
    were timed, `units` what was done in each of them: a stage that was broken off and has no
    count of its own has none. `waiting_s` is the drying. `recorded` has what was typed in or
    imported.
    """

    piece: str
    title: str
    pattern: str
    size: str | None
    colourway: str | None
    commission: str | None
    lot: str | None
    status: str
    finished_at: float | None
    made: int
    left: tuple[tuple[Stage, float], ...]
    """How much of each hands-on stage is still to do, from 0 to 1; nothing of a finished piece."""
    work: Work | None
    stages: Mapping[Stage, StageSum]
    units: Mapping[Stage, float]
    waiting_s: float | None
    recorded: tuple[Mapping[str, Any], ...]

    @property
    def hands_on_s(self) -> float:
        """Hands-on seconds that are known, of all stages."""
        typed = _typed(self.recorded)
        return typed if self.recorded else sum(s.hands_on_s for s in self.stages.values())

    @property
    def rework_s(self) -> float | None:
        """Seconds of rework; None where nothing is known of it."""
        if self.recorded:
            typed = {r["stage"]: r["rework_s"] for r in self.recorded if r["rework_s"] is not None}
            return typed.get(None, sum(typed.values())) if typed else None
        known = [found.rework_s for found in self.stages.values()]
        return sum(known) if "braid" in self.stages else None

    @property
    def spent_s(self) -> float:
        """Hands-on seconds with rework: what a forecast says, and what is paid for."""
        return self.hands_on_s + (self.rework_s or 0.0)

    @property
    def whole(self) -> bool:
        """Whether every stage that has any work was timed."""
        return self.work is not None and all(
            stage in self.stages for stage in STAGES if self.work.units(stage)
        )


def work_of(plan: Plan) -> Work:
    """The beads, strands and crosses of a plan."""
    beads = sum(len(load.replace(SKIP, "")) for load in plan.loads)
    return Work(beads, plan.strands, max(1, plan.crosses))


def frozen_work(started: Mapping[str, Any]) -> Work | None:
    """The work in a piece, from the event that started it; None if that cannot be read."""
    try:
        pattern = Pattern.model_validate(started["pattern"])
        return work_of(Plan(pattern, Structure.model_validate(started["structure"])))
    except (ValidationError, Fault):
        return None


def _typed(recorded: Iterable[Mapping[str, Any]]) -> float:
    """Hands-on seconds of what was typed in: the whole, or else the stages together."""
    whole, parts = 0.0, 0.0
    for said in recorded:
        if said["stage"] is None:
            whole = float(said["hands_on_s"])
        elif said["stage"] in STAGES:
            parts += float(said["hands_on_s"])
    return whole or parts
