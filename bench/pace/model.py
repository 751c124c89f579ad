"""From recorded pieces to the maker's pace: one robust, partially pooled regression.

The log of a stage's seconds, relative to the built-in guess from the counts, is

    maker's level of the stage + pattern's effect on the stage + effect of size and colourway
    − slope·log(pieces so far) − slope·log(pieces of the pattern so far)
    + cold hands·coldness + drift(age) + scatter

Effects are normal with mean 0 (patterns borrow from each other). The drift is a random walk
from the first piece on, for which the prior stands, straight between knots; since the newest
piece it goes on unseen, so that a pause makes a forecast less sure and does not bend it back to
the guess. The scatter of a piece is a multivariate t over its
stages, so that a bad evening counts for little: fitted by reweighting (Lange, Little and Taylor
1989, "Robust statistical modeling using the t distribution", JASA 84, 881-896; cited from
memory). The spreads of patterns and of drift are averaged over a small grid by their marginal
likelihood; the scale of the scatter has an inverse gamma posterior, so predictions are Student's
t. Effects are eliminated group by group, so the time is linear in the number of pieces.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bench.pace.design_matrix import (
    KNOTS,
    N_STAGES,
    Array,
    PieceGroup,
    colder,
    in_order,
    piece_groups,
)
from bench.pace.partial_pooling import (
    Component,
    effective_parameters,
    eliminate,
    normal_equations,
    solve,
    stage_levels,
)
from bench.pace.prior import COMMON_PRACTICE, Prior, grid
from bench.pace.records import Outcome, PieceRecord, Variant
from bench.pace.residual_scale import ResidualScale, residual_scale
from bench.pace.rework import Rework, usual_rework

PASSES = 3
PAUSE_DRIFT = 1.75
"""So many times as far as with pieces being made a maker drifts in a pause; no source."""


@dataclass(frozen=True, eq=False)
class Model:
    """A maker's pace; ask `bench.pace.predictive` what it means for work to come.

    Attributes:
        prior: what was taken for granted.
        components: the posterior by spreads, their chances adding up to 1.
        variants: those that were made, in the order in which components have their effects.
        patterns: likewise.
        scatter: covariance (scale of a t) of one piece over the stages, on the log scale.
        rework: the usual rework.
        degrees_of_freedom: on which the scale of the scatter of whole pieces rests.
        pieces: how many have a time.
        pattern_pieces: how many of each pattern.
        pause_days: from the newest record to the day that forecasts are of.
        cold_then: how cold the hands were at the newest piece, from 0 to 1.
        good: pieces, timed or not, that came out good.
        spoilt: those that came out as seconds or were given up.

    """

    prior: Prior
    components: tuple[Component, ...]
    variants: tuple[Variant, ...]
    patterns: tuple[str, ...]
    scatter: Array
    rework: Rework
    degrees_of_freedom: float
    pieces: int
    pattern_pieces: dict[str, int]
    pause_days: float
    cold_then: float
    good: int
    spoilt: int

    @property
    def cold(self) -> float:
        """How cold the hands are on the day that forecasts are of, from 0 to 1."""
        return colder(self.cold_then, self.pause_days) if self.pieces else 0.0

    @property
    def pause_drift_days(self) -> float:
        """Days of drift that the pause comes to, as many as a drift goes on for at the most."""
        return min(KNOTS[-1], PAUSE_DRIFT * self.pause_days)

    @property
    def is_guess(self) -> bool:
        """Whether nothing was recorded, so that all of it is common practice."""
        return self.pieces == 0


def fit(
    records: Sequence[PieceRecord],
    prior: Prior = COMMON_PRACTICE,
    *,
    today: float | None = None,
    untimed: Sequence[Outcome] = (),
) -> Model:
    """Fit a maker's pace to the pieces recorded so far, in any order.

    Args:
        records: the pieces; the order of equal days (and of undated ones) is the order made.
        prior: what to take for granted without data.
        today: the day of which forecasts are to be; the newest record's by default.
        untimed: how pieces came out of which no time is known.

    """
    dated = [r.day for r in records if r.day is not None]
    newest = max(dated, default=0.0 if today is None else today)
    pause_days = 0.0 if today is None else max(0.0, today - newest)
    made = in_order(records)
    span_days = made[0].age if made else 0.0
    outcomes = [*(r.outcome for r in records), *untimed]
    groups, counts = piece_groups(made, prior)
    known = prior.scatter_degrees_of_freedom / 2
    scale = ResidualScale(prior.scatter_sd**2, np.ones(N_STAGES), prior.scatter_correlation)
    levels: dict[Variant, Array] = {}
    parameters = 0.0
    for _ in range(PASSES):
        sums = normal_equations(groups, scale.covariance, levels)
        reduced = eliminate(sums, prior.pattern_sd[0], prior)
        _, part = solve(reduced, prior.drift_sd[0], span_days, prior, known, known)
        parameters = effective_parameters(part, sums.pattern_of, prior)
        levels = dict(zip(sums.variants, stage_levels(part, sums.pattern_of), strict=True))
        common = part.mean[N_STAGES:]
        scale = residual_scale(groups, levels, common, parameters, scale, prior)
    _discount(groups, prior.tail)
    sums = normal_equations(groups, scale.covariance, levels)
    n_rows = sum(group.log_ratios.size for group in groups)
    n_pieces = sum(len(group.weights) for group in groups)
    shape, rate = known + n_rows / 2, known * prior.scatter_sd**2 / scale.variance
    parts = []
    for pattern_sd, chance in grid(prior.pattern_sd):
        reduced = eliminate(sums, pattern_sd, prior)
        for drift_sd, other in grid(prior.drift_sd):
            evidence, part = solve(reduced, drift_sd, span_days, prior, shape, rate)
            parts.append((evidence + math.log(chance * other), part))
    # The scale of a whole piece rests on one sum per piece, and the sum of a t's rows tells
    # tail / (tail + 3) of what a normal one would (Lange, Little and Taylor; rederived).
    told = n_pieces * prior.tail / (prior.tail + 3) * (1 - parameters / max(1, n_rows))
    return Model(
        prior=prior,
        components=_weighed(parts),
        variants=sums.variants,
        patterns=sums.patterns,
        scatter=scale.covariance,
        rework=usual_rework(records),
        degrees_of_freedom=prior.scatter_degrees_of_freedom + told,
        pieces=len(records),
        pattern_pieces=counts,
        pause_days=pause_days,
        cold_then=made[-1].cold if made else 0.0,
        good=outcomes.count("good"),
        spoilt=len(outcomes) - outcomes.count("good"),
    )


def _discount(groups: Sequence[PieceGroup], tail: float) -> None:
    """Multiply each weight (in place) by (tail + n − 2) / (tail + n) for a piece of n rows.

    A weight is known but for a gamma distribution, and the variance goes with the mean of its
    inverse: the expectation of a t row's precision.
    """
    for group in groups:
        n = group.log_ratios.shape[1]
        group.weights = group.weights * (tail + n - 2) / (tail + n)


def _weighed(parts: Sequence[tuple[float, Component]]) -> tuple[Component, ...]:
    top = max(evidence for evidence, _ in parts)
    chances = [math.exp(evidence - top) for evidence, _ in parts]
    kept = [(c, part) for c, (_, part) in zip(chances, parts, strict=True) if c > 0.02]
    total = sum(c for c, _ in kept)
    return tuple(replace(part, chance=c / total) for c, part in kept)
