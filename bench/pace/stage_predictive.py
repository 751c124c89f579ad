"""How long the next piece takes, stage by stage: what of a fit a piece in hand needs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bench.craft.stages import HANDS_ON
from bench.pace.guess import guess
from bench.pace.intervals import tail_factor
from bench.pace.prior import COMMON_PRACTICE, grid
from bench.pace.records import Work

BRAID = HANDS_ON.index("braid")
WHOLE = (1.0,) * len(HANDS_ON)


@dataclass(frozen=True)
class StagePredictive:
    """The log seconds by stage of one piece less those of the built-in guess: a multivariate t.

    mean: expectation by stage, in the order of `HANDS_ON`. covariance: one row a stage, scatter
    included. degrees_of_freedom: of the t. tail: degrees of freedom of the scatter alone.
    rework_share: the usual rework as a share of the seconds of braiding, not in the mean.
    """

    mean: Sequence[float]
    covariance: Sequence[Sequence[float]]
    degrees_of_freedom: float
    tail: float
    rework_share: float = 0.0

    def median_s(self, work: Work) -> float:
        """Median hands-on seconds of a whole piece, its usual rework included."""
        seconds = self.mean_s(work)
        return sum(seconds) * math.exp(-self.log_variance(seconds) / 2)

    def mean_s(self, work: Work, left: Sequence[float] = WHOLE) -> list[float]:
        """Mean seconds by stage of the shares that are left, the usual rework included."""
        guessed = guess(work)
        seconds = [
            part * guessed[stage] * math.exp(self.mean[k] + self.covariance[k][k] / 2)
            for k, (stage, part) in enumerate(zip(HANDS_ON, left, strict=True))
        ]
        seconds[BRAID] *= 1 + self.rework_share
        return seconds

    def log_variance(self, seconds: Sequence[float]) -> float:
        """Variance of the log of a sum of stages whose mean seconds these are, to first order."""
        total = sum(seconds)
        share = [s / total for s in seconds]
        rows = zip(share, self.covariance, strict=True)
        return sum(a * c * b for a, row in rows for c, b in zip(row, share, strict=True))


def guess_predictive() -> StagePredictive:
    """What is said of a first piece before anything was recorded: the prior's spreads alone."""
    prior = COMMON_PRACTICE
    pattern_variance = sum(chance * sd**2 for sd, chance in grid(prior.pattern_sd))
    scatter = tail_factor(prior.tail) * prior.scatter_sd**2
    together = prior.level_sd**2 + scatter * prior.scatter_correlation
    together += pattern_variance * (prior.pattern_correlation + prior.variant_share**2)
    own = prior.stage_sd**2 + scatter * (1 - prior.scatter_correlation)
    own += pattern_variance * (1 - prior.pattern_correlation)
    n = range(len(HANDS_ON))
    return StagePredictive(
        mean=[0.0] * len(HANDS_ON),
        covariance=[[together + own * (i == j) for j in n] for i in n],
        degrees_of_freedom=prior.scatter_degrees_of_freedom,
        tail=prior.tail,
    )
