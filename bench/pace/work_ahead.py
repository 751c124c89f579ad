"""A run of pieces: hours with pieces spoilt on the way, when each comes up, the price."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from bench.pace.intervals import Forecast
from bench.pace.model import Model
from bench.pace.predictive import WHOLE, Job, Span, forecast, forecasts
from bench.pace.weeks import WEEK_DAYS, Weeks

LEAST_CHANCE = 0.02
"""Numbers of spoilt pieces are taken together up to such a chance."""
MOST_AGAIN = 200_000


def works_ahead(model: Model, jobs: Sequence[Job], spans: Sequence[Span]) -> list[Forecast]:
    """Seconds of the jobs of each span, the usual rework included, until all have come out good.

    All jobs are made in the order given. A piece to be made again costs a whole piece, however far
    the spoilt one had come. How many there will be is a chance of its own, since with few pieces
    there is most likely none.
    """
    risks = [_begun_here(job) for job in jobs]
    once = again = forecasts(model, jobs, spans)
    if any(job.shares != WHOLE for job in jobs):
        at_risk = [
            replace(job, shares=WHOLE) for job, risk in zip(jobs, risks, strict=True) if risk
        ]
        before = [0, *accumulate(int(risk > 0) for risk in risks)]
        again = forecasts(model, at_risk, [(before[first], before[end]) for first, end in spans])
    return [
        _until_good(model, found, whole, risks[first:end])
        for found, whole, (first, end) in zip(once, again, spans, strict=True)
    ]


def _until_good(model: Model, once: Forecast, again: Forecast, risks: Sequence[float]) -> Forecast:
    """A run made `once`, with the pieces that are spoilt on the way; `again`: its pieces whole."""
    fresh = sum(risks)
    if not fresh or once.log_median == -math.inf:
        return once
    whole_s = again.mean_s() / sum(risk > 0 for risk in risks)
    spoilt, good = model.prior.spoilt
    part = whole_s / once.mean_s()
    chances = _made_again(fresh, spoilt + model.spoilt, good + model.good)
    return replace(once, times=tuple((chance, 1 + part * n) for chance, n in chances))


def _made_again(fresh: float, a: float, b: float) -> list[tuple[float, float]]:
    """Chances of so many spoilt pieces until `fresh` are good; unlikely numbers go together.

    Beta negative binomial, the share that is spoilt being itself not known (Johnson, Kemp and
    Kotz, Univariate Discrete Distributions, ch. 6; from memory): `a` spoilt pieces to `b` good
    ones are as if seen before.
    """
    log = math.lgamma(b + fresh) + math.lgamma(a + b) - math.lgamma(b) - math.lgamma(a + b + fresh)
    found: list[tuple[float, float]] = []
    n, seen, chance, number = 0, 0.0, 0.0, 0.0
    while seen < 1 - 1e-6 and n < MOST_AGAIN:
        p = math.exp(log)
        seen, chance, number = seen + p, chance + p, number + p * n
        if chance >= LEAST_CHANCE:
            found.append((chance, number / chance))
            chance, number = 0.0, 0.0
        log += math.log((fresh + n) / (n + 1) * (a + n) / (a + b + fresh + n))
        n += 1
    if chance:
        found.append((chance, number / chance))
    return [(chance / seen, number) for chance, number in found]


def _begun_here(job: Job) -> float:
    """How much of a piece is still at risk: the part of its braid that is to come."""
    return dict(job.shares).get("braid", 0.0)


def spaced(model: Model, jobs: Sequence[Job], weeks: Weeks) -> tuple[Job, ...]:
    """Put the jobs on the days when they come up, at the mean hours a week."""
    per_day = weeks.per_week * 3600 / WEEK_DAYS
    each = {job: forecast(model, [job]).quantile(0.5) for job in set(jobs)}
    out, day = [], 0.0
    for job in jobs:
        out.append(replace(job, days_ahead=day))
        day += each[job] / per_day
    return tuple(out)
