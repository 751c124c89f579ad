"""The forecaster to beat: it knows a simulated maker's variances, but none of the effects.

Exact by Gibbs sampling: given the weights of the pieces everything is normal, given the effects
the weights are gamma. It shares no code with bench.pace.
"""

from __future__ import annotations

import math

import numpy as np

from tests.speed import pace_makers as pm
from tests.speed.pace_makers import Array, Maker


def prior_covariance(maker: Maker, n: int) -> tuple[Array, Array]:
    """Mean and covariance of the log times of pieces 0 … n − 1, scatter left out; 4n × 4n."""
    days = np.array(maker.days[:n])
    patterns = [v[0] for v in maker.variants[:n]]
    same_pattern = np.array([[float(a == b) for b in patterns] for a in patterns])
    same_variant = np.array(
        [[float(a == b) for b in maker.variants[:n]] for a in maker.variants[:n]]
    )
    counts: dict[str, int] = {}
    within = []
    for p in patterns:
        counts[p] = counts.get(p, 0) + 1
        within.append(math.log(counts[p]))
    overall = np.log(np.arange(1, n + 1))
    inside = np.array(within)
    shared = (
        pm.OVERALL_SLOPE[1] ** 2 * np.outer(overall, overall)
        + pm.PATTERN_SLOPE[1] ** 2 * np.outer(inside, inside)
        + maker.drift_sd**2 / 100 * np.minimum.outer(days, days)
        + (pm.VARIANT_SHARE * maker.pattern_sd) ** 2 * same_variant
    )
    if maker.jump_at is not None:
        after = (np.arange(n) >= maker.jump_at).astype(float)
        shared += pm.JUMP_SD**2 * np.outer(after, after)
    if maker.hard is not None:
        hard = np.array([float(p == maker.hard) for p in patterns])
        shared += pm.HARD_LOG**2 * np.outer(hard, hard)
    level: Array = pm.LEVEL_SD**2 + pm.STAGE_SD**2 * np.eye(4)
    cov = np.kron(shared, np.ones((4, 4))) + np.kron(np.ones((n, n)), level)
    cov += np.kron(maker.pattern_sd**2 * same_pattern, pm.pattern_covariance())
    mean = -pm.OVERALL_SLOPE[0] * overall - pm.PATTERN_SLOPE[0] * inside
    return np.repeat(mean, 4), cov


def forecast_samples(
    rng: np.random.Generator, maker: Maker, n: int, rounds: int = 60, each: int = 20
) -> Array:
    """Draws of the seconds of piece n (from 0), given the pieces before it."""
    mean, cov = prior_covariance(maker, n + 1)
    noise = maker.noise
    if maker.kind == "tired evenings":
        # The tired part as its mean and variance, common to the stages.
        p, size, sd = pm.TIRED_CHANCE, pm.TIRED_MEAN, pm.TIRED_SD
        mean = mean + p * size
        noise = noise + p * (sd**2 + size**2 * (1 - p))
    past, to_come = slice(0, 4 * n), slice(4 * n, 4 * n + 4)
    y = maker.logs[:n].ravel() - mean[past]
    seen = cov[past, past]
    cross = cov[to_come, past]
    precision = np.linalg.inv(noise)
    root_noise = np.linalg.cholesky(noise)
    root_seen = np.linalg.cholesky(seen + 1e-9 * np.eye(4 * n))
    weights = np.ones(n)
    base = maker.seconds(n) / np.exp(maker.logs[n])  # the guess from the counts
    out = []
    for step in range(rounds + 10):
        whole = seen + np.kron(np.diag(1 / weights), noise)
        low = np.linalg.cholesky(whole)
        f0 = root_seen @ rng.standard_normal(4 * n)
        e0 = (rng.standard_normal((n, 4)) / np.sqrt(weights)[:, None]) @ root_noise.T
        solved = np.linalg.solve(
            low.T, np.linalg.solve(low, np.column_stack([y - f0 - e0.ravel(), y]))
        )
        effects = f0 + seen @ solved[:, 0]
        if step >= 10:
            m = mean[to_come] + cross @ solved[:, 1]
            half = np.linalg.solve(low, cross.T)
            v = cov[to_come, to_come] - half.T @ half
            z = m + rng.standard_normal((each, 4)) @ np.linalg.cholesky(v + 1e-12 * np.eye(4)).T
            w = rng.chisquare(maker.tail, each) / maker.tail
            scatter = (rng.standard_normal((each, 4)) / np.sqrt(w)[:, None]) @ root_noise.T
            if maker.kind == "heavy tails":
                scatter = np.clip(scatter, -pm.HEAVY_LIMIT, pm.HEAVY_LIMIT)
            z = z + scatter
            out.append((base * np.exp(z)).sum(axis=1))
        r = (y - effects).reshape(n, 4)
        far = np.einsum("ij,jk,ik->i", r, precision, r)
        weights = rng.gamma((maker.tail + 4) / 2, 2 / (maker.tail + far))
    return np.concatenate(out)
