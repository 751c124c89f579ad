"""What the pace room takes in: the work in a piece and the times that it took."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple

from bench.craft.stages import HANDS_ON, HandsOn

Outcome = Literal["good", "second", "given_up"]


class Variant(NamedTuple):
    """What is made alike: a pattern in one size and one colourway, None as it is written."""

    pattern: str
    size: str | None = None
    colourway: str | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """How much there is to do on one piece, from its counts alone."""

    beads: int
    """Beads to load, and to bring in again while braiding."""
    strands: int
    """Strands to set up: hang, tie, wind on."""
    crosses: int
    """Crosses to braid, plain ones included."""

    def __post_init__(self) -> None:
        """Refuse counts that no piece can have."""
        if self.beads < 0 or self.strands < 1 or self.crosses < 1:
            raise ValueError(
                "a piece needs at least one strand and one cross, and no fewer than 0 beads"
            )

    def units(self, stage: HandsOn) -> int:
        """Units of a stage: beads, strands, crosses, or the one piece."""
        return {"load": self.beads, "set_up": self.strands, "braid": self.crosses, "finish": 1}[
            stage
        ]


@dataclass(frozen=True, slots=True)
class StageTime:
    """Hands-on seconds of one stage, with the units that were done in them."""

    stage: HandsOn
    units: float
    seconds: float

    def __post_init__(self) -> None:
        """Refuse times and units that cannot be."""
        if self.stage not in HANDS_ON:
            raise ValueError(f"unknown stage {self.stage!r}; one of {', '.join(HANDS_ON)}")
        if not (math.isfinite(self.units) and self.units > 0):
            raise ValueError(f"units of {self.stage} must be more than 0, not {self.units}")
        if not (math.isfinite(self.seconds) and self.seconds > 0):
            raise ValueError(f"seconds of {self.stage} must be more than 0, not {self.seconds}")


@dataclass(frozen=True, slots=True)
class PieceRecord:
    """One piece that was made, with what is known of its times.

    Stages that are missing are unknown. `whole_s` is the hands-on time of the whole piece,
    recorded stages included; it alone is enough. `rework_s` is beside them: crosses taken back and
    made again, slips looked for and mended; None when unknown.
    """

    pattern: str
    size: str | None
    colourway: str | None
    work: Work
    day: float | None = None
    """Days since any fixed day, fractions allowed; None when unknown (taken as the oldest)."""
    stages: tuple[StageTime, ...] = ()
    whole_s: float | None = None
    outcome: Outcome = "good"
    rework_s: float | None = None

    def __post_init__(self) -> None:
        """Refuse a record that says nothing, or contradicts itself."""
        if self.day is not None and not math.isfinite(self.day):
            raise ValueError("the day of a piece must be a finite number")
        if len({time.stage for time in self.stages}) != len(self.stages):
            raise ValueError("each stage may be recorded once per piece")
        if self.whole_s is None:
            if not self.stages:
                raise ValueError("a record needs the time of a stage or of the whole piece")
        elif not (math.isfinite(self.whole_s) and self.whole_s > 0):
            raise ValueError(f"seconds of a piece must be more than 0, not {self.whole_s}")
        if self.rework_s is not None and not (math.isfinite(self.rework_s) and self.rework_s >= 0):
            raise ValueError(f"seconds of rework must be 0 or more, not {self.rework_s}")

    @property
    def variant(self) -> Variant:
        """Pattern, size and colourway."""
        return Variant(self.pattern, self.size, self.colourway)

    @property
    def total_s(self) -> float | None:
        """Seconds of the whole piece, rework included, if every stage of its work is known."""
        rework = self.rework_s or 0.0
        if self.whole_s is not None:
            return self.whole_s + rework
        known = {time.stage for time in self.stages}
        if any(self.work.units(stage) and stage not in known for stage in HANDS_ON):
            return None
        return sum(time.seconds for time in self.stages) + rework
