"""The closing sheet of a commission: what its pieces took, by stage and outcome."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bench.commission.progress import CommissionProgress
from bench.craft.stages import HANDS_ON, HandsOn
from bench.journal.piece_times import PieceTimes


@dataclass(frozen=True)
class Closing:
    """What a commission took: seconds by stage, rework and waiting apart, pieces by outcome."""

    stages: Mapping[HandsOn, float]
    rework_s: float
    whole_s: float
    """Typed in for whole pieces, not told apart by stage."""
    good: int
    timed: int
    """Good pieces of which hours are known."""
    seconds: int
    given_up: int

    @property
    def each_s(self) -> float | None:
        """All that was spent, spoilt pieces and rework too, for each good piece with hours."""
        spent = sum(self.stages.values()) + self.rework_s + self.whole_s
        return spent / self.timed if self.timed and spent else None


def mean_s(pieces: Iterable[PieceTimes]) -> tuple[float | None, int]:
    """What a piece took in the mean, rework included, and of how many hours are known."""
    timed = [times.spent_s for times in pieces if times.is_timed]
    return (sum(timed) / len(timed) if timed else None), len(timed)


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
        sum(times.is_timed for lot in found.lots for times in lot.good),
        sum(t.status == "second" for t in spoilt),
        sum(t.status != "second" for t in spoilt),
    )
