"""Student's t and the one definition of an interval that all forecasts share."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

LEVEL = 0.8
"""How much of the time an interval should hold what it forecasts, half of the misses above."""


def t_quantile(p: float, freedom: float) -> float:
    """Quantile of Student's t, by Hill's expansion about the normal quantile.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5. Within 0.001 for
    4 degrees of freedom and more, and 0.025 <= p <= 0.975.
    """
    z = NormalDist().inv_cdf(p)
    z2, n = z * z, freedom
    g1 = (z2 + 1) * z / 4
    g2 = ((5 * z2 + 16) * z2 + 3) * z / 96
    g3 = (((3 * z2 + 19) * z2 + 17) * z2 - 15) * z / 384
    g4 = ((((79 * z2 + 776) * z2 + 1482) * z2 - 1920) * z2 - 945) * z / 92160
    return z + g1 / n + g2 / n**2 + g3 / n**3 + g4 / n**4


@dataclass(frozen=True)
class Interval:
    """What a forecast says in three numbers: seconds, holding `level` between low and high."""

    level: float
    low_s: float
    median_s: float
    high_s: float


@dataclass(frozen=True)
class Forecast:
    """Seconds to come, Student's t on the log scale, after seconds that are already known."""

    log_median: float
    """Of the uncertain seconds; minus infinity when there are none."""
    log_sd: float
    freedom: float
    done_s: float = 0.0

    def quantile(self, p: float) -> float:
        """Seconds, those already done included, that will do with chance p."""
        if self.log_median == -math.inf:
            return self.done_s
        return self.done_s + math.exp(self.log_median + self.log_sd * t_quantile(p, self.freedom))

    def interval(self, level: float = LEVEL) -> Interval:
        """Low, median and high, with equal chances of less and of more."""
        tail = (1 - level) / 2
        return Interval(level, self.quantile(tail), self.quantile(0.5), self.quantile(1 - tail))

    def chance(self, seconds: float) -> float:
        """Chance of being done within so many seconds, between 0.001 and 0.999."""
        low, high = 0.001, 0.999
        for _ in range(30):
            middle = (low + high) / 2
            if self.quantile(middle) < seconds:
                low = middle
            else:
                high = middle
        return (low + high) / 2
