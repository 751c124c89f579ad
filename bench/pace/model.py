"""From recorded pieces to the maker's pace: one robust, partially pooled regression.

The log of a stage's seconds, relative to the built-in guess from the counts, is

    maker's level of the stage + pattern's effect on the stage + effect of size and colourway
    − slope·log(pieces so far) − slope·log(pieces of the pattern so far) + drift(age) + scatter

Effects are normal with mean 0 (patterns borrow from each other). The drift is a random walk
back from today, straight between knots. The scatter of a piece is a multivariate t over its
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

from bench.pace.algebra import Matrix, Vector
from bench.pace.cells import Cell, Variant, sort_cells
from bench.pace.pooling import Component, eliminate, group_sums, parameters, solve
from bench.pace.prior import COMMON_PRACTICE, Prior, grid
from bench.pace.records import STAGES, Outcome, PieceRecord
from bench.pace.rework import Rework, usual_rework
from bench.pace.scatter import Shape, reweigh

PASSES = 3


@dataclass(frozen=True)
class Model:
    """A maker's pace; ask `bench.pace.predict` what it means for work to come."""

    prior: Prior
    components: tuple[Component, ...]
    noise: Matrix
    """Covariance (scale) of the scatter of one piece over the stages, on the log scale."""
    rework: Rework
    freedom: float
    """Degrees of freedom that the scale of the scatter of whole pieces rests on."""
    pieces: int
    """Pieces with a time."""
    pattern_pieces: dict[str, int]
    today: float
    """The day of the newest record, or the day that was asked for."""
    good: int
    spoilt: int
    """Pieces, timed or not, that came out good, and as seconds or given up."""

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
        today: day from which ages count; the newest record's by default.
        untimed: how pieces came out of which no time is known.

    """
    dated = [r.day for r in records if r.day is not None]
    now = max(dated, default=0.0) if today is None else max(today, *dated, today)
    outcomes = [*(r.outcome for r in records), *untimed]
    cells, counts = sort_cells(records, prior, now)
    a0 = prior.noise_freedom / 2
    shape = Shape(prior.noise_sd**2, [1.0] * len(STAGES), prior.noise_shared)
    levels: dict[Variant, Vector] = {}
    for _ in range(PASSES):
        reduced = eliminate(group_sums(cells, shape.noise, levels), prior.pattern_sd[0], prior)
        _, part = solve(reduced, prior.drift_sd[0], prior, a0, a0)
        used = parameters(part, prior)
        shape = reweigh(cells, part, used, shape, levels, prior)
    known = _tell_less(cells, prior.tail)
    sums = group_sums(cells, shape.noise, levels)
    n_rows = sum(len(p.y) for c in cells for p in c.pieces)
    a = a0 + n_rows / 2
    b0 = a0 * prior.noise_sd**2 / shape.variance
    components = []
    for pattern_sd, chance in grid(prior.pattern_sd):
        reduced = eliminate(sums, pattern_sd, prior)
        for drift_sd, other in grid(prior.drift_sd):
            evidence, part = solve(reduced, drift_sd, prior, a, b0)
            components.append((evidence + math.log(chance * other), part))
    return Model(
        prior=prior,
        components=_weighed(components),
        noise=shape.noise,
        rework=usual_rework(records),
        freedom=prior.noise_freedom + (known * (1 - used / n_rows) if n_rows else 0.0),
        pieces=len(records),
        pattern_pieces=counts,
        today=now,
        good=outcomes.count("good"),
        spoilt=len(outcomes) - outcomes.count("good"),
    )


def _tell_less(cells: Sequence[Cell], tail: float) -> float:
    """Scale the weights (in place) to what a t tells; give the degrees of freedom in them.

    A weight is known but for a gamma distribution, and the variance goes with the mean of its
    inverse: (tail + k) / (tail + k − 2) more for k rows. The scale of a whole piece, its stages'
    shape and correlation being found as well, rests on one sum per piece, and a sum tells
    tail / (tail + 3) of what a normal one would (Lange, Little and Taylor; rederived).
    """
    amount = 0.0
    for cell in cells:
        for piece in cell.pieces:
            n = len(piece.y)
            piece.weight *= (tail + n - 2) / (tail + n)
            amount += tail / (tail + 3)
    return amount


def _weighed(parts: Sequence[tuple[float, Component]]) -> tuple[Component, ...]:
    top = max(evidence for evidence, _ in parts)
    chances = [math.exp(evidence - top) for evidence, _ in parts]
    kept = [(c, part) for c, (_, part) in zip(chances, parts, strict=True) if c > 0.02]
    total = sum(c for c, _ in kept)
    return tuple(replace(part, chance=c / total) for c, part in kept)
