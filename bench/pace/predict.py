"""What a maker's pace says about pieces to come, in closed form.

The seconds of any pieces and stages are a sum of log-normal parts that share what is not known
(the maker's level, slopes and drift, a pattern's effects) and each piece has its own scatter.
The sum is taken as log-normal too, with its mean and variance matched (Fenton 1960, "The sum of
log-normal probability distributions in scatter transmission systems", IRE Trans. Comm. Systems
8, 57-67; cited from memory), the variance to first order. So errors that the pieces share do not
cancel in a sum, those of single pieces do.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bench.pace.algebra import Vector, dot, quadratic
from bench.pace.cells import (
    KNOTS,
    N_COMMON,
    N_STAGES,
    Variant,
    dense_covariates,
    in_order,
    prior_shift,
)
from bench.pace.guess import guess
from bench.pace.model import Model
from bench.pace.pooling import Component
from bench.pace.prior import Prior
from bench.pace.records import STAGES, PieceRecord, Stage, Work
from bench.pace.spread import Forecast, tail_factor
from bench.pace.stage_predictive import StagePredictive

WHOLE: tuple[tuple[Stage, float], ...] = tuple((stage, 1.0) for stage in STAGES)
"""The shares of a piece of which nothing is done."""


@dataclass(frozen=True)
class Job:
    """A piece to be made, or some of its stages."""

    pattern: str
    size: str
    colourway: str
    work: Work
    shares: tuple[tuple[Stage, float], ...] = WHOLE
    """How much of each stage is still to do, from 0 to 1."""
    days_ahead: float = 0.0
    """Days from the model's today until it is made; the further, the less certain."""

    @property
    def variant(self) -> Variant:
        """Pattern, size and colourway."""
        return (self.pattern, self.size, self.colourway)


@dataclass(frozen=True)
class _Part:
    """A job with its guessed seconds by stage and its covariates."""

    variant: Variant
    seconds: Vector
    common: Vector
    shift: float
    days_ahead: float


def forecast(model: Model, jobs: Sequence[Job]) -> Forecast:
    """Seconds of jobs together, made in the order given, after all recorded pieces.

    Hands-on seconds, with the maker's usual rework.
    """
    return _forecast(model, _parts(model, jobs))


def _forecast(model: Model, parts: Sequence[_Part]) -> Forecast:
    if not parts:
        return Forecast(-math.inf, 0.0, model.freedom)
    found = [(c.chance, *_sum(model, c, parts)) for c in model.components]
    mean = sum(chance * m for chance, m, _, _ in found)
    variance = sum(chance * (v + (m - mean) ** 2) for chance, m, v, _ in found)
    # Only what goes with the scale of the scatter is uncertain by it; the degrees of
    # freedom as in Satterthwaite 1946, Biometrics Bulletin 2, 110-114 (cited from memory).
    scaled = sum(chance * s for chance, _, _, s in found) / variance
    return Forecast(mean, math.sqrt(variance), model.freedom / scaled**2)


@dataclass(frozen=True)
class Made:
    """A piece that was made, with the band in which the model would have it."""

    record: PieceRecord
    number: int
    """Which piece of its pattern it was, from 1."""
    band: Forecast


def history(
    model: Model,
    records: Sequence[PieceRecord],
    pattern: str,
    stages: Sequence[Stage] = STAGES,
    last: int | None = None,
) -> tuple[Made, ...]:
    """Lay the pieces of a pattern, in the order made, against the pace fitted to all of them.

    Args:
        model: the fit of these records.
        records: all of the maker's pieces.
        pattern: whose history.
        stages: what the band is for, the whole piece by default.
        last: only so many of them, the newest.

    """
    made, age_of = in_order(records, model.today)
    own = [(n, record) for n, record in enumerate(made, 1) if record.pattern == pattern]
    first = 0 if last is None else max(0, len(own) - last)
    out: list[Made] = []
    for within, (overall, record) in enumerate(own[first:], first + 1):
        guessed = guess(record.work)
        part = _Part(
            (record.pattern, record.size, record.colourway),
            _with_rework(model, [guessed[s] if s in stages else 0.0 for s in STAGES]),
            dense_covariates(overall, within, age_of(record)),
            prior_shift(overall, within, model.prior),
            0.0,
        )
        band = _forecast(model, [part] if any(part.seconds) else [])
        out.append(Made(record, within, band))
    return tuple(out)


def by_stage(model: Model, job: Job) -> dict[Stage, Forecast]:
    """Hands-on seconds of each stage of one piece that has any work."""
    out: dict[Stage, Forecast] = {}
    for stage, share in job.shares:
        if share > 0 and guess(job.work)[stage] > 0:
            alone = Job(
                job.pattern, job.size, job.colourway, job.work, ((stage, share),), job.days_ahead
            )
            out[stage] = forecast(model, [alone])
    return out


def stage_predictive(model: Model, kind: tuple[str, ...]) -> StagePredictive:
    """Predictive distribution by stage of the next piece, made today.

    kind: its pattern, size and colourway; its pattern alone for a kind of it that was not made;
    () for a pattern that was not made.
    """
    variant = kind or ("",)
    overall = model.pieces + 1
    within = model.pattern_pieces.get(variant[0], 0) + 1
    common = dense_covariates(overall, within, 0.0)
    shift = prior_shift(overall, within, model.prior)
    wide = tail_factor(model.prior.tail)
    mean = [0.0] * N_STAGES
    second = [[0.0] * N_STAGES for _ in range(N_STAGES)]
    n = range(N_STAGES)
    for c in model.components:
        units = [[1.0 if i == j else 0.0 for j in n] for i in n]
        linear = [_linear(model, c, {variant: u}, common) for u in units]
        for i in n:
            mean[i] += c.chance * linear[i][0]
            for j in range(i + 1):
                if i == j:
                    both = linear[i][1]
                else:
                    pair = {variant: [a + b for a, b in zip(units[i], units[j], strict=True)]}
                    total = _linear(model, c, pair, [2 * x for x in common])[1]
                    both = (total - linear[i][1] - linear[j][1]) / 2
                both += wide * model.noise[i][j]
                second[i][j] += c.chance * (both + linear[i][0] * linear[j][0])
    return StagePredictive(
        mean=[shift + m for m in mean],
        covariance=[[second[max(i, j)][min(i, j)] - mean[i] * mean[j] for j in n] for i in n],
        degrees_of_freedom=model.freedom,
        tail=model.prior.tail,
        rework_share=model.rework.share,
    )


def _parts(model: Model, jobs: Sequence[Job]) -> list[_Part]:
    overall, counts = model.pieces, dict(model.pattern_pieces)
    out = []
    for job in jobs:
        overall += 1
        within = counts[job.pattern] = counts.get(job.pattern, 0) + 1
        guessed = guess(job.work)
        share = dict(job.shares)
        seconds = _with_rework(model, [guessed[s] * share.get(s, 0.0) for s in STAGES])
        common = dense_covariates(overall, within, 0.0)
        shift = prior_shift(overall, within, model.prior)
        if any(seconds):
            # Beyond the last knot the drift stands still, ahead as in the past.
            ahead = min(KNOTS[-1], max(0.0, job.days_ahead))
            out.append(_Part(job.variant, seconds, common, shift, ahead))
    return out


BRAID = STAGES.index("braid")


def _with_rework(model: Model, seconds: Vector) -> Vector:
    """Add the usual rework to the seconds by stage; it falls to the braiding."""
    return [s * (1 + model.rework.share) if k == BRAID else s for k, s in enumerate(seconds)]


def _sum(model: Model, c: Component, parts: Sequence[_Part]) -> tuple[float, float, float]:
    """Log median and log variance of the parts' sum under one component.

    Third, how much of the variance goes up and down with the scale of the scatter: the next
    pieces' own, and of the effects what is known from data and not from the prior.
    """
    n = range(N_STAGES)
    wide = tail_factor(model.prior.tail)
    first = {p.variant: p for p in reversed(parts)}
    level: dict[Variant, list[tuple[float, float]]] = {}
    for variant, part in first.items():
        level[variant] = []
        for s in n:
            unit = [1.0 if r == s else 0.0 for r in n]
            mean, var = _linear(model, c, {variant: unit}, part.common)
            mean -= dot(c.mean[N_STAGES:], part.common)
            level[variant].append((mean, var + wide * model.noise[s][s]))
    expected = []
    for p in parts:
        moved = p.shift + dot(c.mean[N_STAGES:], p.common)
        expected.append(
            [
                sec * math.exp(moved + mean + var / 2) if sec else 0.0
                for sec, (mean, var) in zip(p.seconds, level[p.variant], strict=True)
            ]
        )
    total = sum(map(sum, expected))
    weights: dict[tuple[str, ...], Vector] = {variant: [0.0] * N_STAGES for variant in first}
    common = [0.0] * N_COMMON
    scatter = squares = again = 0.0
    lumpy = model.rework.sd / (1 + model.rework.share)
    for p, seconds in zip(parts, expected, strict=True):
        share = [s / total for s in seconds]
        weights[p.variant] = [a + b for a, b in zip(weights[p.variant], share, strict=True)]
        piece = sum(share)
        common = [a + piece * b for a, b in zip(common, p.common, strict=True)]
        scatter += quadratic(model.noise, share)
        squares += piece * piece
        again += (lumpy * share[BRAID]) ** 2
    effects = _linear(model, c, weights, common)[1]
    scatter *= tail_factor(model.prior.tail, 1 / squares)
    walk = c.drift_sd**2 / 100 * _walk(parts, [sum(e) / total for e in expected])
    variance = effects + scatter + walk + again
    scaled = scatter + effects * (1 - effects / _before(model.prior, c, weights, common))
    return math.log(total) - variance / 2, variance, max(scaled, scatter)


def _before(
    prior: Prior, c: Component, weights: Mapping[tuple[str, ...], Vector], common: Vector
) -> float:
    """Prior variance of a weighted sum of stage effects, by variant, and of covariates."""
    by_pattern: dict[str, Vector] = {}
    variance = 0.0
    for variant, stages in weights.items():
        variance += (sum(stages) * prior.variant_share * c.pattern_sd) ** 2
        so_far = by_pattern.get(variant[0], [0.0] * N_STAGES)
        by_pattern[variant[0]] = [a + b for a, b in zip(so_far, stages, strict=True)]
    for stages in by_pattern.values():
        own, shared = 1 - prior.pattern_shared, prior.pattern_shared
        variance += c.pattern_sd**2 * (own * dot(stages, stages) + shared * sum(stages) ** 2)
    maker = [sum(column) for column in zip(*by_pattern.values(), strict=True)]
    variance += prior.stage_sd**2 * dot(maker, maker) + (prior.level_sd * sum(maker)) ** 2
    slopes = (prior.overall_slope[1], prior.pattern_slope[1])
    variance += sum((sd * x) ** 2 for sd, x in zip(slopes, common, strict=False))
    drift = [(age, x) for age, x in zip(KNOTS[1:], common[2:], strict=True) if x]
    steps = sum(min(a, b) * x * y for a, x in drift for b, y in drift)
    return float(variance + c.drift_sd**2 / 100 * steps)


def _walk(parts: Sequence[_Part], share: Sequence[float]) -> float:
    """Days of a random walk ahead that the sum feels: shares later than each step, squared."""
    out, before, left = 0.0, 0.0, 1.0
    for p, s in sorted(zip(parts, share, strict=True), key=lambda pair: pair[0].days_ahead):
        out += (p.days_ahead - before) * left**2
        before, left = p.days_ahead, left - s
    return out


def _linear(
    model: Model, c: Component, weights: Mapping[tuple[str, ...], Vector], common: Vector
) -> tuple[float, float]:
    """Mean and variance of a weighted sum of stage effects, by variant, and of covariates."""
    mean = variance = 0.0
    maker = [0.0] * N_STAGES + common
    levels: dict[str, Vector] = {}
    for variant, stages in weights.items():
        whole = sum(stages)
        own = c.variants.get(variant)
        if own is None:
            variance += (whole * model.prior.variant_share * c.pattern_sd) ** 2
        else:
            mean += whole * own.offset
            variance += whole**2 * own.variance
            stages = [a - whole * b for a, b in zip(stages, own.slope, strict=False)]
            for k in range(N_STAGES, len(maker)):
                maker[k] -= whole * own.slope[k]
        before = levels.get(variant[0], [0.0] * N_STAGES)
        levels[variant[0]] = [a + b for a, b in zip(before, stages, strict=True)]
    shared = model.prior.pattern_shared
    for pattern, stages in levels.items():
        for s, a in enumerate(stages):
            maker[s] += a
        known = c.patterns.get(pattern)
        if known is None:
            both = (1 - shared) * dot(stages, stages) + shared * sum(stages) ** 2
            variance += c.pattern_sd**2 * both
        else:
            mean += dot(known.offset, stages)
            variance += quadratic(known.cov, stages)
            for s, a in enumerate(stages):
                if a:
                    maker = [m - a * k for m, k in zip(maker, known.slope[s], strict=True)]
    mean += dot(maker, c.mean)
    variance += quadratic(c.cov, maker)
    return mean, variance
