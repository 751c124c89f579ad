"""What is taken for granted of a maker before the first recorded piece.

All figures are common practice, no source, unless one is named; the first pieces override them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from bench.pace.guess import LEVEL_SD, STAGE_SD


@dataclass(frozen=True)
class Prior:
    """Spreads (standard deviations on the log scale) and slopes of a maker without data.

    Slopes are exponents of the unit learning curve, T(n) = T(1)·n^−slope: 0.074 is a 95 % curve,
    0.152 a 90 % curve (exponent = −log2 of the rate).
    """

    level_sd: float = LEVEL_SD
    stage_sd: float = STAGE_SD
    overall_slope: tuple[float, float] = (0.05, 0.04)
    """Mean and spread of the learning slope over all pieces."""
    pattern_slope: tuple[float, float] = (0.05, 0.04)
    """Mean and spread of the learning slope within a pattern."""
    pattern_sd: tuple[float, float] = (0.13, 0.45)
    """Spread of patterns about their counts: median over makers, and spread of its log."""
    pattern_correlation: float = 0.5
    """Share of a pattern's variance that is common to its stages."""
    variant_share: float = 0.35
    """Spread of sizes and colourways about their pattern, relative to that of patterns."""
    drift_sd: tuple[float, float] = (0.065, 0.7)
    """Drift of the maker's speed over 100 days: median over makers, and spread of its log."""
    cold_hands: tuple[float, float] = (0.05, 0.05)
    """What a long pause adds to the first piece after it, on the log scale: mean and spread."""
    scatter_sd: float = 0.175
    """Scale of a stage's scatter from piece to piece."""
    scatter_degrees_of_freedom: float = 4.0
    """How many timed stages the prior scale of the scatter is worth: its degrees of freedom."""
    scatter_correlation: float = 0.5
    """Share of the scatter that is common to the stages of a piece: a good or a bad evening."""
    tail: float = 5.0
    """Degrees of freedom of the scatter: 5 lets one bad evening count for little."""
    spoilt: tuple[float, float] = (1.0, 19.0)
    """Pieces that had to be made again, and pieces that were good, as if seen before."""


def grid(spread: tuple[float, float]) -> tuple[tuple[float, float], ...]:
    """Three values of a log-normal spread, each with its chance, middle one second.

    Gauss-Hermite quadrature with three points: Abramowitz and Stegun, table 25.10.
    """
    middle, log_sd = spread
    far = math.exp(math.sqrt(3) * log_sd)
    return ((middle / far, 1 / 6), (middle, 2 / 3), (middle * far, 1 / 6))


COMMON_PRACTICE = Prior()
