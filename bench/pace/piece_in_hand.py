"""The piece in hand: when it will be done, from what it took so far."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from bench.pace.algebra import Matrix, Vector, quadratic
from bench.pace.cells import N_STAGES
from bench.pace.guess import guess
from bench.pace.model import Model
from bench.pace.predict import Job, stage_moments
from bench.pace.records import STAGES, Stage
from bench.pace.spread import Forecast

UNIT_SD = 0.5
"""Spread of single crosses, log scale; common practice, no source."""
UNEVEN_SD = 0.12
"""Spread between the parts of a stage (narrow and wide rows), log scale; no source."""


@dataclass(frozen=True)
class SoFar:
    """What was done of a stage in this piece, hands-on, without rework."""

    units: float
    seconds: float


class InHand:
    """One piece in hand, asked again and again while it grows.

    Args:
        model: the maker's pace, this piece not in it.
        job: the piece as a whole.

    """

    def __init__(self, model: Model, job: Job) -> None:
        self.model, self.job = model, job
        self._mean, self._cov = stage_moments(model, job)
        self._guessed = guess(job.work)

    def after(self, so_far: Mapping[Stage, SoFar]) -> Forecast:
        """Hands-on seconds of the whole piece, those already spent included.

        What is to come has the usual rework in it.

        The share of each stage that was done tells how this piece runs, the more of it the more
        surely; stages to come learn from it as far as the stages of a piece go together. Units
        beyond those of the work count as all.
        """
        model, job, mean, cov = self.model, self.job, self._mean, self._cov
        spent = sum(part.seconds for part in so_far.values())
        seen_stages, far = 0, 0.0
        left = [1.0 if self._guessed[s] > 0 else 0.0 for s in STAGES]
        for k, stage in enumerate(STAGES):
            part = so_far.get(stage)
            whole = job.work.units(stage)
            if part is None or part.units <= 0 or whole <= 0:
                continue
            done = min(1.0, part.units / whole)
            left[k] = 1.0 - done
            if part.seconds > 0:
                noise = UNIT_SD**2 * (1 / part.units - 1 / max(part.units, whole))
                noise += UNEVEN_SD**2 * (1 - done)
                seen = math.log(part.seconds / done)
                seen_stages += 1
                far += (seen - mean[k]) ** 2 / (cov[k][k] + noise)
                mean, cov = _learn(mean, cov, k, seen, noise)
        # A piece that is unlike the others so far may go on so: conditioning a multivariate t.
        wider = (model.prior.tail + far) / (model.prior.tail + seen_stages)
        return _rest(model, mean, [[wider * c for c in row] for row in cov], left, spent)


def _learn(mean: Vector, cov: Matrix, k: int, seen: float, noise: float) -> tuple[Vector, Matrix]:
    """Condition the log seconds by stage on one of them, seen with noise."""
    column = [row[k] for row in cov]
    whole = column[k] + noise
    gain = [c / whole for c in column]
    miss = seen - mean[k]
    new_mean = [m + g * miss if math.isfinite(m) else m for m, g in zip(mean, gain, strict=True)]
    new_cov = [
        [c - g * d for c, d in zip(row, column, strict=True)]
        for row, g in zip(cov, gain, strict=True)
    ]
    return new_mean, new_cov


def _rest(model: Model, mean: Vector, cov: Matrix, left: Vector, spent: float) -> Forecast:
    expected = [
        part * math.exp(m + cov[k][k] / 2) * (1 + model.rework.share * (STAGES[k] == "braid"))
        if part > 0 and math.isfinite(m)
        else 0.0
        for k, (part, m) in enumerate(zip(left, mean, strict=True))
    ]
    total = sum(expected)
    if total <= 0:
        return Forecast(-math.inf, 0.0, model.freedom, spent)
    share = [e / total for e in expected]
    uneven = sum(share[k] ** 2 * UNEVEN_SD**2 * (1 - left[k]) for k in range(N_STAGES))
    variance = max(0.0, quadratic(cov, share)) + uneven
    return Forecast(math.log(total) - variance / 2, math.sqrt(variance), model.freedom, spent)
