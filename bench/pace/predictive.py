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
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.design_matrix import (
    KNOTS,
    N_STAGES,
    STILL_COLD,
    Array,
    covariates,
    in_order,
    prior_shift,
)
from bench.pace.guess import guess
from bench.pace.intervals import Forecast, tail_factor
from bench.pace.levels import Levels, Places, levels_of, places_of
from bench.pace.model import Model
from bench.pace.partial_pooling import Component, coefficient_prior, quadratic_forms
from bench.pace.records import PieceRecord, Variant, Work
from bench.pace.stage_predictive import BRAID, StagePredictive

WHOLE: tuple[tuple[HandsOn, float], ...] = tuple((stage, 1.0) for stage in HANDS_ON)
"""The shares of a piece of which nothing is done."""


Span = tuple[int, int]
"""Some jobs of a run: from the first (counted from 0) to before the second."""


@dataclass(frozen=True)
class Job:
    """A piece to be made, or some of its stages."""

    pattern: str
    size: str | None
    colourway: str | None
    work: Work
    shares: tuple[tuple[HandsOn, float], ...] = WHOLE
    """How much of each stage is still to do, from 0 to 1."""
    days_ahead: float = 0.0
    """Days from the day of the forecast until it is made; the further, the less certain."""

    @property
    def variant(self) -> Variant:
        """Pattern, size and colourway."""
        return Variant(self.pattern, self.size, self.colourway)


def forecast(model: Model, jobs: Sequence[Job]) -> Forecast:
    """Seconds of jobs together, made in the order given, after all recorded pieces.

    Hands-on seconds, with the maker's usual rework.
    """
    return forecasts(model, jobs, ((0, len(jobs)),))[0]


def forecasts(model: Model, jobs: Sequence[Job], spans: Sequence[Span]) -> list[Forecast]:
    """Seconds of the jobs of each span together, all jobs made in the order given."""
    batch, with_work = _batch(model, jobs)
    known = [_expected(model, part, batch) for part in model.components] if with_work[-1] else []
    parts = (slice(with_work[first], with_work[end]) for first, end in spans)
    return [_forecast(model, batch, known, some) for some in parts]


def _forecast(model: Model, batch: _Batch, known: Sequence[_Expected], parts: slice) -> Forecast:
    """Put together what each component expects of some of the parts."""
    if parts.start == parts.stop:
        return Forecast(-math.inf, 0.0, model.degrees_of_freedom)
    found = [
        (component.chance, *_sum(model, component, batch, expected, parts))
        for component, expected in zip(model.components, known, strict=True)
    ]
    mean = sum(chance * m for chance, m, _, _ in found)
    variance = sum(chance * (v + (m - mean) ** 2) for chance, m, v, _ in found)
    # Only what goes with the scale of the scatter is uncertain by it; the degrees of
    # freedom as in Satterthwaite 1946, Biometrics Bulletin 2, 110-114 (cited from memory).
    scaled = sum(chance * s for chance, _, _, s in found) / variance
    return Forecast(mean, math.sqrt(variance), model.degrees_of_freedom / scaled**2)


@dataclass(frozen=True)
class MadePiece:
    """A piece that was made, with the band in which the model would have it."""

    record: PieceRecord
    number: int
    """Which piece of its pattern it was, from 1."""
    band: Forecast


def history(
    model: Model,
    records: Sequence[PieceRecord],
    pattern: str,
    stages: Sequence[HandsOn] = HANDS_ON,
    last: int | None = None,
) -> tuple[MadePiece, ...]:
    """Lay the pieces of a pattern, in the order made, against the pace fitted to all of them.

    Args:
        model: the fit of these records.
        records: all of the maker's pieces.
        pattern: whose history.
        stages: what the band is for, the whole piece by default.
        last: only so many of them, the newest.

    """
    own = [(n, at) for n, at in enumerate(in_order(records), 1) if at.record.pattern == pattern]
    first = 0 if last is None else max(0, len(own) - last)
    out: list[MadePiece] = []
    for within, (overall, at) in enumerate(own[first:], first + 1):
        record = at.record
        seconds = _seconds(model, record.work, dict.fromkeys(stages, 1.0))
        batch = _Batch.of_parts(
            model,
            [record.variant],
            [seconds],
            covariates(overall, within, at.cold, at.age),
            [prior_shift(overall, within, at.cold, model.prior)],
            [0.0],
        )
        known = [_expected(model, part, batch) for part in model.components]
        out.append(
            MadePiece(record, within, _forecast(model, batch, known, slice(0, int(seconds.any()))))
        )
    return tuple(out)


def by_stage(model: Model, job: Job) -> dict[HandsOn, Forecast]:
    """Hands-on seconds of each stage of one piece that has any work."""
    return {
        stage: forecast(model, [replace(job, shares=((stage, share),))])
        for stage, share in job.shares
        if share > 0 and guess(job.work)[stage] > 0
    }


def stage_predictive(model: Model, kind: Variant | str | None = None) -> StagePredictive:
    """Predictive distribution by stage of the next piece, made today.

    kind: its variant; or its pattern, for a variant of it that was not made; or None, for a
    pattern that was not made.
    """
    pattern, variant = (kind.pattern, kind) if isinstance(kind, Variant) else (kind, None)
    overall = model.pieces + 1
    within = model.pattern_pieces.get(pattern or "", 0) + 1
    common = covariates(overall, within, model.cold)[0]
    places = places_of(model, [pattern], [variant])
    scatter = tail_factor(model.prior.tail) * model.scatter
    means, seconds = [], []
    for part in model.components:
        levels = levels_of(model, part, places)
        mean = levels.mean[0] + part.mean[N_STAGES:] @ common
        means.append(part.chance * mean)
        walk = part.drift_sd**2 / 100 * model.pause_drift_days
        seconds.append(
            part.chance
            * (levels.covariance(common[None])[0] + scatter + walk + np.outer(mean, mean))
        )
    mean = np.sum(means, axis=0)
    covariance = np.sum(seconds, axis=0) - np.outer(mean, mean)
    return StagePredictive(
        mean=(prior_shift(overall, within, model.cold, model.prior) + mean).tolist(),
        covariance=covariance.tolist(),
        degrees_of_freedom=model.degrees_of_freedom,
        tail=model.prior.tail,
        rework_share=model.rework.share,
    )


def _batch(model: Model, jobs: Sequence[Job]) -> tuple[_Batch, list[int]]:
    """The jobs that have any work, and how many of the first 0, 1, 2 … jobs those are."""
    counts, cold = dict(model.pattern_pieces), model.cold
    of_shares: dict[tuple[Work, tuple[tuple[HandsOn, float], ...]], Array] = {}
    variants: list[Variant] = []
    seconds, places, ahead = list[Array](), list[tuple[int, int, float]](), list[float]()
    with_work = [0]
    for overall, job in enumerate(jobs, model.pieces + 1):
        within = counts[job.pattern] = counts.get(job.pattern, 0) + 1
        kind = (job.work, job.shares)
        if kind not in of_shares:
            of_shares[kind] = _seconds(model, job.work, dict(job.shares))
        if of_shares[kind].any():
            variants.append(job.variant)
            seconds.append(of_shares[kind])
            places.append((overall, within, cold))
            # Beyond the last knot the drift stands still, ahead as in the past.
            ahead.append(min(KNOTS[-1], model.pause_drift_days + max(0.0, job.days_ahead)))
            cold *= STILL_COLD
        with_work.append(len(variants))
    common = covariates(*np.array(places).reshape(-1, 3).T)
    shift = [prior_shift(*place, model.prior) for place in places]
    return _Batch.of_parts(model, variants, seconds, common, shift, ahead), with_work


def _seconds(model: Model, work: Work, shares: Mapping[HandsOn, float]) -> Array:
    """Guessed seconds by stage of shares of a piece; the usual rework falls to the braiding."""
    guessed = guess(work)
    seconds = np.array([guessed[stage] * shares.get(stage, 0.0) for stage in HANDS_ON])
    seconds[BRAID] *= 1 + model.rework.share
    return seconds


@dataclass(frozen=True, eq=False)
class _Batch:
    """N parts of K variants as arrays.

    of: N, which variant each is. first: K, the first part of each. seconds: N × stages.
    covariates: N × N_COMMON. shift, days_ahead: N. places, unmade: of the K variants among those
    that were made, and as if none were.
    """

    of: NDArray[np.intp]
    first: NDArray[np.intp]
    seconds: Array
    covariates: Array
    shift: Array
    days_ahead: Array
    places: Places
    unmade: Places

    @classmethod
    def of_parts(
        cls,
        model: Model,
        variants: Sequence[Variant],
        seconds: Sequence[Array],
        covariates: Array,
        shift: Sequence[float],
        days_ahead: Sequence[float],
    ) -> _Batch:
        """Put parts together, each with its guessed seconds by stage and what the prior adds."""
        at = {variant: k for k, variant in enumerate(dict.fromkeys(variants))}
        of = np.array([at[variant] for variant in variants], dtype=np.intp)
        places = places_of(model, [v.pattern for v in at], [*at])
        nowhere = np.full(len(at), -1)
        return cls(
            of,
            np.unique(of, return_index=True)[1],
            np.array(seconds),
            covariates,
            np.array(shift),
            np.array(days_ahead),
            places,
            replace(places, variants=nowhere, patterns=nowhere),
        )


@dataclass(frozen=True, eq=False)
class _Expected:
    """What one component expects of a batch: the mean seconds of its parts, N × stages.

    levels: of the variants; before: as they were before any piece.
    """

    seconds: Array
    levels: Levels
    before: Levels


def _expected(model: Model, part: Component, batch: _Batch) -> _Expected:
    of, levels = batch.of, levels_of(model, part, batch.places)
    spread = levels.covariance(batch.covariates[batch.first])
    spread = np.diagonal(spread + tail_factor(model.prior.tail) * model.scatter, axis1=1, axis2=2)
    moved = batch.shift + batch.covariates @ part.mean[N_STAGES:]
    # Nothing is known of a stage without work, so that its exponent may be anything.
    log_ratio = np.where(batch.seconds > 0, moved[:, None] + levels.mean[of] + spread[of] / 2, 0.0)
    untold = replace(part, covariance=coefficient_prior(part.drift_sd, part.span_days, model.prior))
    before = levels_of(model, untold, batch.unmade)
    return _Expected(batch.seconds * np.exp(log_ratio), levels, before)


def _sum(
    model: Model, part: Component, batch: _Batch, known: _Expected, parts: slice
) -> tuple[float, float, float]:
    """Log median and log variance of the sum of some of the parts under one component.

    Third, how much of the variance goes up and down with the scale of the scatter: the next
    pieces' own, and of the effects what is known from data and not from the prior.
    """
    expected = known.seconds[parts]
    total = expected.sum()
    share = expected / total
    whole = share.sum(axis=1)
    weights = np.zeros((len(batch.first), N_STAGES))
    np.add.at(weights, batch.of[parts], share)
    common = whole @ batch.covariates[parts]

    effects = known.levels.variance(weights, common)
    scatter = float(quadratic_forms(model.scatter, share).sum())
    scatter *= tail_factor(model.prior.tail, 1 / float(whole @ whole))
    walk = part.drift_sd**2 / 100 * _walk(batch.days_ahead[parts], whole)
    uneven_rework = model.rework.sd / (1 + model.rework.share) * share[:, BRAID]
    variance = effects + scatter + walk + float(uneven_rework @ uneven_rework)
    scaled = scatter + effects * (1 - effects / known.before.variance(weights, common))
    return math.log(total) - variance / 2, variance, max(scaled, scatter)


def _walk(days_ahead: Array, share: Array) -> float:
    """Days of a random walk ahead that the sum feels: shares later than each step, squared."""
    order = np.argsort(days_ahead, kind="stable")
    steps = np.diff(days_ahead[order], prepend=0.0)
    left = 1.0 - np.cumsum(share[order]) + share[order]
    return float(steps @ left**2)
