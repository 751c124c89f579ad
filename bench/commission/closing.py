"""The closing sheet of a commission: what its pieces took, by stage and outcome."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bench.commission.progress import CommissionProgress
from bench.craft.stages import HANDS_ON, HandsOn


@dataclass(frozen=True)
class Closing:
    """What a commission took: seconds by stage, rework and waiting apart, pieces by outcome."""

    stages: Mapping[HandsOn, float]
    rework_s: float
    whole_s: float
    """Typed in for whole pieces, not told apart by stage."""
    good: int
    seconds: int
    given_up: int


def closing(found: CommissionProgress) -> Closing:
    """Sum up what the pieces of a commission took so far."""
    stages: dict[HandsOn, float] = dict.fromkeys(HANDS_ON, 0.0)
    rework = whole = 0.0
    spoilt = [t for lot in found.lots for t in lot.spoilt]
    for times in (t for lot in found.lots for t in lot.pieces):
        for stage, part in times.stages.items():
            stages[stage] += part.hands_on_s
        rework += times.rework_s or 0.0
        if times.recorded:
            whole += times.hands_on_s
    return Closing(
        stages,
        rework,
        whole,
        sum(len(lot.good) for lot in found.lots),
        sum(t.status == "second" for t in spoilt),
        sum(t.status != "second" for t in spoilt),
    )
