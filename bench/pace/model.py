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
from dataclasses import dataclass, field

from bench.pace.algebra import (
    Matrix,
    Vector,
    dot,
    exchangeable_inverse,
    inverse,
    quadratic,
    times,
)
from bench.pace.guess import guess
from bench.pace.prior import COMMON_PRACTICE, Prior, grid
from bench.pace.records import STAGES, PieceRecord

N_STAGES = len(STAGES)
KNOTS = (0.0, 5.0, 15.0, 45.0, 135.0, 405.0)
"""Ages in days between which the drift is straight; beyond the last it stands still."""
N_COMMON = 2 + len(KNOTS) - 1
SIZE = N_STAGES + N_COMMON
"""Length of the maker's own vector: stage levels, two slopes, drift at the knots."""
PASSES = 3
SCALE_ROUNDS = 8

Variant = tuple[str, str, str]
"""Pattern, size, colourway."""
Sparse = list[tuple[int, float]]


@dataclass
class _Piece:
    """One piece in a cell: log ratios by row, covariates shared by its rows, weight."""

    y: Vector
    common: Sparse
    weight: float = 1.0


@dataclass
class _Cell:
    """Pieces of one variant with the same rows known, so that they share their design."""

    variant: Variant
    single: tuple[int, ...]
    """Stages that have a row of their own."""
    rest: tuple[int, ...]
    """Stages that are known only as a sum, one more row; may be empty."""
    guess_s: tuple[float, ...]
    pieces: list[_Piece] = field(default_factory=list)

    def design(self, level: Sequence[float]) -> tuple[Matrix, float]:
        """Rows over the stages, and the offset that the straightened sum needs at a level."""
        rows = [[1.0 if s == k else 0.0 for s in range(N_STAGES)] for k in self.single]
        if not self.rest:
            return rows, 0.0
        seconds = [self.guess_s[s] * math.exp(level[s]) for s in self.rest]
        whole = sum(seconds)
        row = [0.0] * N_STAGES
        for s, part in zip(self.rest, seconds, strict=True):
            row[s] = part / whole
        guessed = sum(self.guess_s[s] for s in self.rest)
        return [*rows, row], math.log(whole / guessed) - dot(row, level)


@dataclass(frozen=True)
class PatternPosterior:
    """A pattern's four stage effects given the maker's vector g: offset − slope·g, cov."""

    offset: Vector
    slope: Matrix
    cov: Matrix


@dataclass(frozen=True)
class VariantPosterior:
    """A variant's effect given its pattern's effects and g: offset − slope·(g with effects)."""

    offset: float
    slope: Vector
    variance: float


@dataclass(frozen=True)
class Component:
    """The posterior for one pair of spreads from the grid."""

    chance: float
    pattern_sd: float
    drift_sd: float
    mean: Vector
    cov: Matrix
    patterns: dict[str, PatternPosterior]
    variants: dict[Variant, VariantPosterior]


@dataclass(frozen=True)
class Model:
    """A maker's pace; ask `bench.pace.predict` what it means for work to come."""

    prior: Prior
    components: tuple[Component, ...]
    noise: Matrix
    """Covariance (scale) of the scatter of one piece over the stages, on the log scale."""
    freedom: float
    """Degrees of freedom that the scale of the scatter rests on."""
    pieces: int
    pattern_pieces: dict[str, int]
    today: float
    """The day of the newest record, or the day that was asked for."""
    spoilt: int
    """Recorded pieces that came out as seconds or were given up."""

    @property
    def is_guess(self) -> bool:
        """Whether nothing was recorded, so that all of it is common practice."""
        return self.pieces == 0


def fit(
    records: Sequence[PieceRecord], prior: Prior = COMMON_PRACTICE, *, today: float | None = None
) -> Model:
    """Fit a maker's pace to the pieces recorded so far, in any order.

    Args:
        records: the pieces; the order of equal days (and of undated ones) is the order made.
        prior: what to take for granted without data.
        today: day from which ages count; the newest record's by default.
    """
    dated = [r.day for r in records if r.day is not None]
    now = max(dated, default=0.0) if today is None else max(today, *dated, today)
    cells, counts = _cells(records, prior, now)
    a0 = prior.noise_pieces * N_STAGES / 2
    shape = _Shape(prior.noise_sd**2, [1.0] * N_STAGES, prior.noise_shared, 2 * a0)
    levels: dict[Variant, Vector] = {}
    for _ in range(PASSES):
        reduced = _eliminate(_group_sums(cells, shape.noise, levels), prior.pattern_sd[0], prior)
        _, part = _solve(reduced, prior.drift_sd[0], prior, a0, a0)
        used = _parameters(part, prior)
        shape = _reweigh(cells, part, used, shape, levels, prior)
    sums = _group_sums(cells, shape.noise, levels)
    a = a0 + sum(len(p.y) for c in cells for p in c.pieces) / 2
    b0 = a0 * prior.noise_sd**2 / shape.variance
    components = []
    for pattern_sd, chance in grid(prior.pattern_sd):
        reduced = _eliminate(sums, pattern_sd, prior)
        for drift_sd, other in grid(prior.drift_sd):
            evidence, part = _solve(reduced, drift_sd, prior, a, b0)
            components.append((evidence + math.log(chance * other), part))
    return Model(
        prior=prior,
        components=_weighed(components),
        noise=shape.noise,
        freedom=shape.freedom,
        pieces=len(records),
        pattern_pieces=counts,
        today=now,
        spoilt=sum(r.outcome != "good" for r in records),
    )


def common_covariates(overall: int, within: int, age: float) -> Sparse:
    """Covariates of the n-th piece overall and within its pattern (from 1), at an age in days."""
    out: Sparse = [(0, -math.log(overall)), (1, -math.log(within))]
    if age >= KNOTS[-1]:
        out.append((N_COMMON - 1, 1.0))
    elif age > 0:
        k = next(i for i, knot in enumerate(KNOTS) if knot > age)
        part = (age - KNOTS[k - 1]) / (KNOTS[k] - KNOTS[k - 1])
        if k > 1:
            out.append((k, 1 - part))
        out.append((k + 1, part))
    return out


def prior_shift(overall: int, within: int, prior: Prior) -> float:
    """What the prior's learning slopes alone make of the n-th piece, on the log scale."""
    return -prior.overall_slope[0] * math.log(overall) - prior.pattern_slope[0] * math.log(within)


def _cells(
    records: Sequence[PieceRecord], prior: Prior, now: float
) -> tuple[list[_Cell], dict[str, int]]:
    oldest = min((r.day for r in records if r.day is not None), default=now)
    made = sorted(records, key=lambda r: oldest if r.day is None else r.day)
    cells: dict[object, _Cell] = {}
    counts: dict[str, int] = {}
    for overall, record in enumerate(made, 1):
        within = counts[record.pattern] = counts.get(record.pattern, 0) + 1
        seconds = guess(record.work)
        guess_s = tuple(seconds[s] for s in STAGES)
        rate = {t.stage: t.seconds / t.units for t in record.stages}
        single = tuple(k for k, s in enumerate(STAGES) if s in rate and guess_s[k] > 0)
        rest: tuple[int, ...] = ()
        shift = prior_shift(overall, within, prior)
        y = [
            math.log(rate[STAGES[k]] * record.work.units(STAGES[k]) / guess_s[k]) - shift
            for k in single
        ]
        if record.whole_s is not None and record.outcome != "given_up":
            left = record.whole_s - sum(t.seconds for t in record.stages)
            rest = tuple(k for k in range(N_STAGES) if k not in single and guess_s[k] > 0)
            if rest and left > 0:
                y.append(math.log(left / sum(guess_s[k] for k in rest)) - shift)
            else:
                rest = ()
        if not y:
            continue
        variant = (record.pattern, record.size, record.colourway)
        key = (variant, single, rest, guess_s)
        cell = cells.setdefault(key, _Cell(variant, single, rest, guess_s))
        age = now - (oldest if record.day is None else record.day)
        cell.pieces.append(_Piece(y, common_covariates(overall, within, age)))
    return list(cells.values()), counts


@dataclass(frozen=True)
class _Shape:
    """The scatter of a piece over its stages: scale, stages against each other, correlation."""

    variance: float
    scatter: Vector
    shared: float
    freedom: float
    """Degrees of freedom that the variance rests on."""

    @property
    def noise(self) -> Matrix:
        """Covariance of the stages (scale matrix of the multivariate t)."""
        n, s = range(N_STAGES), self.scatter
        return [
            [self.variance * s[i] * s[j] * (1.0 if i == j else self.shared) for j in n] for i in n
        ]


def _row_precision(rows: Matrix, noise: Matrix) -> Matrix:
    spread = [times(noise, row) for row in rows]
    return inverse([[dot(row, s) for s in spread] for row in rows])[0]


@dataclass
class _Sums:
    """Weighted sums of squares and products of one group of pieces."""

    square: Matrix
    product: Vector
    quad: float

    @classmethod
    def empty(cls) -> _Sums:
        return cls([[0.0] * SIZE for _ in range(SIZE)], [0.0] * SIZE, 0.0)

    def add(self, other: _Sums) -> None:
        for mine, theirs in zip(self.square, other.square, strict=True):
            mine[:] = [a + b for a, b in zip(mine, theirs, strict=True)]
        self.product = [a + b for a, b in zip(self.product, other.product, strict=True)]
        self.quad += other.quad


def _group_sums(
    cells: Sequence[_Cell], noise: Matrix, levels: dict[Variant, Vector]
) -> dict[Variant, _Sums]:
    groups: dict[Variant, _Sums] = {}
    for cell in cells:
        sums = groups.setdefault(cell.variant, _Sums.empty())
        rows, offset = cell.design(levels.get(cell.variant, [0.0] * N_STAGES))
        precision = _row_precision(rows, noise)
        each = [sum(row) for row in precision]
        n = len(rows)
        weight, squares = 0.0, [[0.0] * N_COMMON for _ in range(N_COMMON)]
        covariates, cov_y, y_sum = [0.0] * N_COMMON, [0.0] * N_COMMON, [0.0] * n
        for piece in cell.pieces:
            w, common = piece.weight, piece.common
            y = piece.y
            if cell.rest:
                y = [*y[:-1], y[-1] - offset]
            weight += w
            pulled = w * dot(each, y)
            for i, ci in common:
                covariates[i] += w * ci
                cov_y[i] += ci * pulled
                line = squares[i]
                for j, cj in common:
                    line[j] += w * ci * cj
            for i, yi in enumerate(y):
                y_sum[i] += w * yi
            sums.quad += w * sum(yi * dot(row, y) for yi, row in zip(y, precision, strict=True))
        _spread(sums, rows, precision, each, weight, covariates, squares, cov_y, y_sum)
    return groups


def _spread(
    sums: _Sums,
    rows: Matrix,
    precision: Matrix,
    each: Vector,
    weight: float,
    covariates: Vector,
    squares: Matrix,
    cov_y: Vector,
    y_sum: Vector,
) -> None:
    """Add a cell's sums over its rows to those over the maker's vector."""
    across = [[row[s] for row in rows] for s in range(N_STAGES)]
    spread = [times(precision, column) for column in across]
    total = sum(each)
    for s in range(N_STAGES):
        line = sums.square[s]
        for r in range(N_STAGES):
            line[r] += weight * dot(across[r], spread[s])
        pull = dot(across[s], each)
        for k in range(N_COMMON):
            line[N_STAGES + k] += pull * covariates[k]
            sums.square[N_STAGES + k][s] += pull * covariates[k]
        sums.product[s] += dot(spread[s], y_sum)
    for k in range(N_COMMON):
        line = sums.square[N_STAGES + k]
        for m in range(N_COMMON):
            line[N_STAGES + m] += total * squares[k][m]
        sums.product[N_STAGES + k] += cov_y[k]


@dataclass
class _Reduced:
    """Everything but the maker's own vector eliminated, for one spread of patterns."""

    pattern_sd: float
    total: _Sums
    log_det: float
    patterns: dict[str, PatternPosterior]
    variants: dict[Variant, VariantPosterior]


def _eliminate(groups: dict[Variant, _Sums], pattern_sd: float, prior: Prior) -> _Reduced:
    variant_var = (prior.variant_share * pattern_sd) ** 2
    by_pattern: dict[str, _Sums] = {}
    out = _Reduced(pattern_sd, _Sums.empty(), 0.0, {}, {})
    for variant, sums in groups.items():
        row = [sum(column) for column in zip(*sums.square[:N_STAGES], strict=True)]
        precision = 1 / variant_var + sum(row[:N_STAGES])
        seen = sum(sums.product[:N_STAGES])
        slope = [r / precision for r in row]
        out.variants[variant] = VariantPosterior(seen / precision, slope, 1 / precision)
        out.log_det += math.log(precision * variant_var)
        left = by_pattern.setdefault(variant[0], _Sums.empty())
        left.add(sums)
        for line, r in zip(left.square, row, strict=True):
            line[:] = [a - r * b for a, b in zip(line, slope, strict=True)]
        left.product = [a - seen * b for a, b in zip(left.product, slope, strict=True)]
        left.quad -= seen * seen / precision
    inner = exchangeable_inverse(N_STAGES, pattern_sd**2, prior.pattern_shared)
    inner_det = inverse(inner)[1]
    for pattern, sums in by_pattern.items():
        top = sums.square[:N_STAGES]
        cov, log_det = inverse(
            [[a + b for a, b in zip(x, y, strict=False)] for x, y in zip(inner, top, strict=True)]
        )
        out.log_det += log_det - inner_det
        seen_vector = sums.product[:N_STAGES]
        offset = times(cov, seen_vector)
        columns = list(zip(*top, strict=True))
        slope = [
            [c0 * x0 + c1 * x1 + c2 * x2 + c3 * x3 for x0, x1, x2, x3 in columns]
            for c0, c1, c2, c3 in cov
        ]
        out.patterns[pattern] = PatternPosterior(offset, slope, cov)
        down = list(zip(*slope, strict=True))
        sums.square = [
            [
                a - c0 * x0 - c1 * x1 - c2 * x2 - c3 * x3
                for a, (x0, x1, x2, x3) in zip(line, down, strict=True)
            ]
            for line, (c0, c1, c2, c3) in zip(sums.square, columns, strict=True)
        ]
        sums.product = [
            a - dot(column, offset) for a, column in zip(sums.product, columns, strict=True)
        ]
        sums.quad -= dot(seen_vector, offset)
        out.total.add(sums)
    return out


def _prior_precision(drift_sd: float, prior: Prior) -> Matrix:
    out = [[0.0] * SIZE for _ in range(SIZE)]
    level, own = prior.level_sd**2, prior.stage_sd**2
    stages = exchangeable_inverse(N_STAGES, level + own, level / (level + own))
    for s in range(N_STAGES):
        out[s][:N_STAGES] = stages[s]
    out[N_STAGES][N_STAGES] = prior.overall_slope[1] ** -2
    out[N_STAGES + 1][N_STAGES + 1] = prior.pattern_slope[1] ** -2
    first = N_STAGES + 2
    for k in range(1, len(KNOTS)):
        step = 1 / (drift_sd**2 * (KNOTS[k] - KNOTS[k - 1]) / 100)
        at = first + k - 1
        out[at][at] += step
        if k > 1:
            out[at - 1][at - 1] += step
            out[at][at - 1] -= step
            out[at - 1][at] -= step
    return out


def _solve(
    reduced: _Reduced, drift_sd: float, prior: Prior, a: float, b0: float
) -> tuple[float, Component]:
    """Log evidence and posterior for one pair of spreads.

    The evidence is that of a normal with inverse gamma scale, a its posterior shape and b0 its
    prior rate.
    """
    before = _prior_precision(drift_sd, prior)
    prior_det = inverse(before)[1]
    precision = [
        [a + b for a, b in zip(x, y, strict=True)]
        for x, y in zip(before, reduced.total.square, strict=True)
    ]
    cov, log_det = inverse(precision)
    mean = times(cov, reduced.total.product)
    misfit = max(0.0, reduced.total.quad - dot(mean, reduced.total.product))
    evidence = -0.5 * (reduced.log_det + log_det - prior_det) - a * math.log(b0 + misfit / 2)
    component = Component(
        chance=0.0,
        pattern_sd=reduced.pattern_sd,
        drift_sd=drift_sd,
        mean=mean,
        cov=cov,
        patterns=reduced.patterns,
        variants=reduced.variants,
    )
    return evidence, component


def _weighed(parts: Sequence[tuple[float, Component]]) -> tuple[Component, ...]:
    top = max(evidence for evidence, _ in parts)
    chances = [math.exp(evidence - top) for evidence, _ in parts]
    kept = [(c, part) for c, (_, part) in zip(chances, parts, strict=True) if c > 0.02]
    total = sum(c for c, _ in kept)
    return tuple(
        Component(**{**part.__dict__, "chance": c / total})  # a copy with its chance
        for c, part in kept
    )


def _effects(variant: Variant, part: Component) -> Vector:
    """Posterior mean of everything about a variant that does not change from piece to piece."""
    g = part.mean
    level = g[:N_STAGES]
    pattern = part.patterns.get(variant[0])
    if pattern is not None:
        level = [
            x + o - dot(s, g) for x, o, s in zip(level, pattern.offset, pattern.slope, strict=True)
        ]
    own = part.variants.get(variant)
    if own is None:
        return level
    effect = own.offset - dot(own.slope, [*level, *g[N_STAGES:]])
    return [x + effect for x in level]


def _parameters(part: Component, prior: Prior) -> float:
    """How many free parameters the effects amount to: prior precision times posterior covariance.

    Each effect counts as 1 less its posterior variance over its prior one.
    """
    before = _prior_precision(part.drift_sd, prior)
    used = SIZE - sum(dot(x, y) for x, y in zip(before, part.cov, strict=True))
    variance = part.pattern_sd**2
    inner = exchangeable_inverse(N_STAGES, variance, prior.pattern_shared)
    off = inner[0][1]
    own = inner[0][0] - off
    for pattern in part.patterns.values():
        together = [sum(column) for column in zip(*pattern.slope, strict=True)]
        used += N_STAGES - sum(dot(x, y) for x, y in zip(inner, pattern.cov, strict=True))
        used -= own * sum(quadratic(part.cov, row) for row in pattern.slope)
        used -= off * quadratic(part.cov, together)
    for variant, effect in part.variants.items():
        pattern = part.patterns[variant[0]]
        stages = effect.slope[:N_STAGES]
        maker = list(effect.slope)
        for a, row in zip(stages, pattern.slope, strict=True):
            maker = [m - a * k for m, k in zip(maker, row, strict=True)]
        spread = effect.variance + quadratic(pattern.cov, stages) + quadratic(part.cov, maker)
        used += 1 - spread / (variance * prior.variant_share**2)
    return used


def _reweigh(
    cells: Sequence[_Cell],
    part: Component,
    used: float,
    shape: _Shape,
    levels: dict[Variant, Vector],
    prior: Prior,
) -> _Shape:
    """New weights and levels (in place) and a new scatter, from the residuals of one fit.

    The variance is the weighted sum of squared residuals over the rows less the parameters used.
    """
    common_mean, noise = part.mean[N_STAGES:], shape.noise
    n_rows = sum(len(p.y) for c in cells for p in c.pieces)
    if not n_rows:
        return shape
    hidden = used / n_rows
    left: list[tuple[_Piece, Vector, float]] = []
    for cell in cells:
        level = levels[cell.variant] = _effects(cell.variant, part)
        rows, offset = cell.design(level)
        precision = _row_precision(rows, noise)
        fitted = times(rows, level)
        if cell.rest:
            fitted[-1] += offset
        for piece in cell.pieces:
            shift = sum([common_mean[i] * c for i, c in piece.common])
            r = [y - f - shift for y, f in zip(piece.y, fitted, strict=True)]
            far = sum([a * dot(row, r) for a, row in zip(r, precision, strict=True)])
            left.append((piece, r, far))
    freedom = prior.noise_pieces * N_STAGES + n_rows - used
    before = prior.noise_pieces * N_STAGES * prior.noise_sd**2 / shape.variance
    # The scale belongs to the weights and they to it; begun at equal weights, so from above.
    growth = (before + sum(far for _, _, far in left)) / freedom
    for _ in range(SCALE_ROUNDS):
        misfit = before
        for piece, r, far in left:
            n = len(r)
            piece.weight = (prior.tail + n) / (prior.tail + far / growth + n * hidden)
            misfit += piece.weight * far
        growth = misfit / freedom
    scatter, shared = _stages_apart(cells, left, shape, prior.noise_pieces, prior.noise_shared)
    return _Shape(growth * shape.variance, scatter, shared, freedom)


def _stages_apart(
    cells: Sequence[_Cell],
    left: Sequence[tuple[_Piece, Vector, float]],
    shape: _Shape,
    few: float,
    prior_shared: float,
) -> tuple[Vector, float]:
    """Scatter of the stages relative to each other, and their correlation within a piece."""
    squares, rows_of = [0.0] * N_STAGES, [0] * N_STAGES
    pair_sum, pair_count = 0.0, 0.0
    residuals = iter(left)
    for cell in cells:
        scale = [shape.scatter[s] for s in cell.single]
        full = len(scale)
        for _ in cell.pieces:
            piece, r, _ = next(residuals)
            w, own, whole = piece.weight, 0.0, 0.0
            for s, x, d in zip(cell.single, r, scale, strict=False):
                x /= d
                squares[s] += w * x * x
                rows_of[s] += 1
                own += x * x
                whole += x
            if full > 1:
                # All pairs of stages at once: sum² less the sum of squares.
                pair_sum += w * (whole * whole - own) / (full - 1)
                pair_count += w * own
    known = few * N_STAGES
    n_rows = sum(rows_of)
    unit = sum(squares) / n_rows if n_rows else 0.0
    if unit <= 0:
        return shape.scatter, shape.shared
    shared = (known * unit * prior_shared + pair_sum) / (known * unit + pair_count)
    return _scatter(shape.scatter, squares, rows_of, few), min(0.8, max(0.0, shared))


def _scatter(old: Vector, squares: Vector, rows: Sequence[int], few: float) -> Vector:
    """Stages' scatter relative to each other, their mean over rows 1, drawn to 1 when few."""
    absolute = [q * s * s for q, s in zip(squares, old, strict=True)]
    if not sum(absolute):
        return old
    overall = sum(absolute) / sum(rows)
    ratio = [(few + q / overall) / (few + n) for q, n in zip(absolute, rows, strict=True)]
    middle = sum(n * math.log(x) for n, x in zip(rows, ratio, strict=True)) / sum(rows)
    return [math.sqrt(x / math.exp(middle)) for x in ratio]
