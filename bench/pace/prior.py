"""What is taken for granted of a maker before the first recorded piece.

All figures are common practice, no source, unless one is named; the first pieces override them.
"""

from __future__ import annotations

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
    pattern_sds: tuple[float, ...] = (0.06, 0.13, 0.28)
    """Spreads of patterns about their counts that are weighed against each other."""
    pattern_shared: float = 0.5
    """Share of a pattern's variance that is common to its stages."""
    variant_share: float = 0.35
    """Spread of sizes and colourways about their pattern, relative to that of patterns."""
    drift_sds: tuple[float, ...] = (0.02, 0.08, 0.30)
    """Drifts of the maker's speed over 100 days that are weighed against each other."""
    noise_sd: float = 0.16
    """Scale of a stage's scatter from piece to piece."""
    noise_pieces: float = 3.0
    """How many pieces the prior scale of the scatter is worth."""
    noise_shared: float = 0.3
    """Share of the scatter that is common to the stages of a piece: a good or a bad evening."""
    tail: float = 5.0
    """Degrees of freedom of the scatter: 5 lets one bad evening count for little."""
    spoilt: tuple[float, float] = (1.0, 19.0)
    """Pieces that had to be made again, and pieces that were good, as if seen before."""


COMMON_PRACTICE = Prior()
