"""Student's t and the one definition of an interval that all forecasts share."""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

LEVEL = 0.8
"""How much of the time an interval should hold what it forecasts, half of the misses above."""


def t_quantile(p: float, degrees_of_freedom: float) -> float:
    """Quantile of Student's t, by Hill's expansion about the normal quantile.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5. Within 0.001 for
    4 degrees of freedom and more, and 0.025 <= p <= 0.975.
    """
    z = NormalDist().inv_cdf(p)
    z2, n = z * z, degrees_of_freedom
    g1 = (z2 + 1) * z / 4
    g2 = ((5 * z2 + 16) * z2 + 3) * z / 96
    g3 = (((3 * z2 + 19) * z2 + 17) * z2 - 15) * z / 384
    g4 = ((((79 * z2 + 776) * z2 + 1482) * z2 - 1920) * z2 - 945) * z / 92160
    return z + g1 / n + g2 / n**2 + g3 / n**3 + g4 / n**4


def tail_factor(tail: float, pieces: float = 1.0) -> float:
    """Variance of the sum of so many equal pieces with t scatter, relative to a normal's.

    For one piece the 10 % and 90 % quantiles of the t with `tail` degrees of freedom are matched;
    many pieces have its variance.
    """
    one = (t_quantile(0.9, tail) / 1.2815515655446004) ** 2
    many = tail / (tail - 2)
    return many + (one - many) / pieces


@dataclass(frozen=True)
class Interval:
    """What a forecast says in three numbers: seconds, holding `level` between low and high."""

    level: float
    low_s: float
    median_s: float
    high_s: float


CHANCES = (0.001, *(k / 200 for k in range(1, 200)), 0.999)


@lru_cache(maxsize=64)
def t_quantiles(degrees_of_freedom: float) -> tuple[float, ...]:
    """Student's t at `CHANCES`."""
    return tuple(t_quantile(p, degrees_of_freedom) for p in CHANCES)


def t_chance(x: float, degrees_of_freedom: float) -> float:
    """Chance that Student's t is less, between 0.001 and 0.999, from a table of its quantiles."""
    table = t_quantiles(degrees_of_freedom)
    k = bisect_right(table, x)
    if k == 0 or k == len(table):
        return CHANCES[min(k, len(table) - 1)]
    part = (x - table[k - 1]) / (table[k] - table[k - 1])
    return CHANCES[k - 1] + part * (CHANCES[k] - CHANCES[k - 1])


@dataclass(frozen=True)
class Forecast:
    """Seconds to come, Student's t on the log scale, after seconds that are already known."""

    log_median: float
    """Of the uncertain seconds; minus infinity when there are none."""
    log_sd: float
    degrees_of_freedom: float
    done_s: float = 0.0
    times: tuple[tuple[float, float], ...] = ((1.0, 1.0),)
    """Chances, adding up to 1, that it becomes so many times as much, the fewest first."""

    def quantile(self, p: float) -> float:
        """Seconds, those already done included, that will do with chance p."""
        if self.log_median == -math.inf:
            return self.done_s
        middle = self.log_median + self.log_sd * t_quantile(p, self.degrees_of_freedom)
        low, high = (middle + math.log(self.times[k][1]) for k in (0, -1))
        while high - low > 1e-6:
            middle = (low + high) / 2
            low, high = (middle, high) if self._below(middle) < p else (low, middle)
        return self.done_s + math.exp((low + high) / 2)

    def _below(self, log_s: float) -> float:
        """Chance that the uncertain seconds are fewer."""
        far = log_s - self.log_median
        return sum(
            chance * t_chance((far - math.log(factor)) / self.log_sd, self.degrees_of_freedom)
            for chance, factor in self.times
        )

    def mean_s(self) -> float:
        """The uncertain seconds on average, as if they were log-normal."""
        if self.log_median == -math.inf:
            return 0.0
        each = math.exp(self.log_median + self.log_sd**2 / 2)
        return each * sum(chance * factor for chance, factor in self.times)

    def interval(self, level: float = LEVEL) -> Interval:
        """Low, median and high, with equal chances of less and of more."""
        tail = (1 - level) / 2
        return Interval(level, self.quantile(tail), self.quantile(0.5), self.quantile(1 - tail))

    def chance(self, seconds: float) -> float:
        """Chance of being done within so many seconds, between 0.001 and 0.999."""
        left = seconds - self.done_s
        if self.log_median == -math.inf or left <= 0:
            return 0.999 if left > 0 else 0.001
        return self._below(math.log(left))
