"""Simulated makers: one kind that the pace model assumes, four that it does not.

Every parameter of the generator stands here. Times are seconds by stage; a maker makes pieces
of five patterns in lots, each with its own size and colourway.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

import numpy as np

from bench.craft.stages import HANDS_ON
from bench.pace.guess import guess
from bench.pace.predictive import Job
from bench.pace.records import PieceRecord, StageTime, Work

Kind = Literal["assumed", "heavy tails", "jump in speed", "tired evenings", "one hard pattern"]
KINDS: tuple[Kind, ...] = get_args(Kind)

WORKS = {
    "Silver Eaves": Work(128, 8, 72),
    "Downpipe": Work(136, 8, 76),
    "Gutter Pearl": Work(136, 8, 76),
    "Cistern": Work(104, 8, 60),
    "Second Drop": Work(136, 8, 76),
}
LEVEL_SD, STAGE_SD = 0.20, 0.30
OVERALL_SLOPE = PATTERN_SLOPE = (0.05, 0.04)  # mean, spread
PATTERN_SD = (0.13, 0.45)  # median over makers, spread of its log; likewise below
PATTERN_SHARED = 0.5
VARIANT_SHARE = 0.35
DRIFT_SD_100_DAYS = (0.08, 0.6)
NOISE_SD = (0.16, 0.35)
STAGE_SCATTER_SD = 0.25
NOISE_SHARED = (0.1, 0.5)  # between
TAIL = 5.0
DAYS_BETWEEN = 1.7  # mean of an exponential
LOT_PIECES = 6.0  # mean of a geometric

CROSS_SD, QUARTER_SD = 0.45, 0.10  # log seconds of single crosses, and of quarters of a braid

HEAVY_TAIL, HEAVY_SCALE, HEAVY_LIMIT = 2.0, 0.75, 1.5  # limit: log seconds of a stage
JUMP_SD, JUMP_BETWEEN = 0.25, (5, 35)
TIRED_CHANCE, TIRED_MEAN, TIRED_SD = 0.25, 0.30, 0.10
HARD_LOG = 0.6

Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass
class Maker:
    """What is true of one maker, and the pieces in the order made."""

    kind: Kind
    pattern_sd: float
    drift_sd: float
    noise: Array
    tail: float
    jump_at: int | None
    hard: str | None
    variants: list[tuple[str, str, str]] = field(default_factory=list)
    days: list[float] = field(default_factory=list)
    logs: Array = field(default_factory=lambda: np.zeros((0, 4)))
    """Log seconds relative to the built-in guess, pieces × stages."""

    def seconds(self, i: int) -> Array:
        """Seconds by stage of the i-th piece."""
        seconds = guess(WORKS[self.variants[i][0]])
        times: Array = np.array([seconds[s] for s in HANDS_ON]) * np.exp(self.logs[i])
        return times

    def record(self, i: int, *, whole_only: bool = False) -> PieceRecord:
        """Give the i-th piece as the journal would hand it over."""
        pattern, size, colourway = self.variants[i]
        work, times = WORKS[pattern], self.seconds(i)
        if whole_only:
            return PieceRecord(
                pattern, size, colourway, work, self.days[i], whole_s=float(times.sum())
            )
        stages = tuple(
            StageTime(s, work.units(s), float(t)) for s, t in zip(HANDS_ON, times, strict=True)
        )
        return PieceRecord(pattern, size, colourway, work, self.days[i], stages)

    def job(self, i: int, today: float) -> Job:
        """Give the i-th piece as it stands among others before it is made."""
        pattern, size, colourway = self.variants[i]
        return Job(
            pattern, size, colourway, WORKS[pattern], days_ahead=max(0.0, self.days[i] - today)
        )


def cross_seconds(rng: np.random.Generator, crosses: int, whole: float) -> Array:
    """How the seconds of a braid fall on its crosses."""
    quarter = np.repeat(QUARTER_SD * rng.standard_normal(4), -(-crosses // 4))[:crosses]
    raw: Array = np.exp(quarter + CROSS_SD * rng.standard_normal(crosses))
    raw *= whole / raw.sum()
    return raw


def around(rng: np.random.Generator, spread: tuple[float, float]) -> float:
    """One maker's own spread, log-normal."""
    return float(spread[0] * math.exp(spread[1] * rng.standard_normal()))


def pattern_covariance() -> Array:
    """Stages by stages, for a pattern spread of 1."""
    return (1 - PATTERN_SHARED) * np.eye(4) + PATTERN_SHARED * np.ones((4, 4))


def make(rng: np.random.Generator, kind: Kind, pieces: int) -> Maker:
    """One maker with so many pieces made."""
    scatter = np.exp(STAGE_SCATTER_SD * rng.standard_normal(4))
    shared = rng.uniform(*NOISE_SHARED)
    noise = around(rng, NOISE_SD) ** 2 * np.outer(scatter, scatter)
    noise *= (1 - shared) * np.eye(4) + shared
    tail = TAIL
    if kind == "heavy tails":
        tail, noise = HEAVY_TAIL, noise * HEAVY_SCALE**2
    names = list(WORKS)
    maker = Maker(
        kind=kind,
        pattern_sd=around(rng, PATTERN_SD),
        drift_sd=around(rng, DRIFT_SD_100_DAYS),
        noise=noise,
        tail=tail,
        jump_at=int(rng.integers(*JUMP_BETWEEN)) if kind == "jump in speed" else None,
        hard=str(rng.choice(names)) if kind == "one hard pattern" else None,
    )
    level = LEVEL_SD * rng.standard_normal() + STAGE_SD * rng.standard_normal(4)
    slopes = [m + s * rng.standard_normal() for m, s in (OVERALL_SLOPE, PATTERN_SLOPE)]
    root = np.linalg.cholesky(pattern_covariance())
    effects = {n: maker.pattern_sd * root @ rng.standard_normal(4) for n in names}
    variants: dict[tuple[str, str, str], float] = {}
    if maker.hard is not None:
        effects[maker.hard] = effects[maker.hard] + HARD_LOG
    jump = JUMP_SD * rng.standard_normal()
    walk, day, counts, rows = 0.0, 0.0, dict.fromkeys(names, 0), []
    variant = ("", "", "")
    noise_root = np.linalg.cholesky(noise)
    for i in range(pieces):
        if i == 0 or rng.random() < 1 / LOT_PIECES:
            variant = (str(rng.choice(names)), "as drawn", str(rng.choice(["rain", "dusk"])))
            variants.setdefault(
                variant, VARIANT_SHARE * maker.pattern_sd * float(rng.standard_normal())
            )
        gap = float(rng.exponential(DAYS_BETWEEN))
        day += gap
        walk += maker.drift_sd * math.sqrt(gap / 100) * float(rng.standard_normal())
        counts[variant[0]] += 1
        weight = rng.chisquare(tail) / tail
        row = level + effects[variant[0]] + variants[variant] + walk
        row = row - slopes[0] * math.log(i + 1) - slopes[1] * math.log(counts[variant[0]])
        scatter = noise_root @ rng.standard_normal(4) / math.sqrt(weight)
        row = row + np.clip(scatter, -HEAVY_LIMIT, HEAVY_LIMIT)
        if maker.jump_at is not None and i >= maker.jump_at:
            row = row + jump
        if kind == "tired evenings" and rng.random() < TIRED_CHANCE:
            row = row + max(0.0, TIRED_MEAN + TIRED_SD * float(rng.standard_normal()))
        maker.variants.append(variant)
        maker.days.append(day)
        rows.append(row)
    maker.logs = np.array(rows)
    return maker
