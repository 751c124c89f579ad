"""Measure the pace model on simulated makers.

    python -m tests.speed.pace_simulate --assumed 1000 --others 200 --seed 1

prints coverage of the 80 % interval, pinball losses against the Bayes forecaster that knows the
variances and against the maker's own rule, and the coverage of sixty pieces together; about
half an hour on one core. Wanted: coverage 0.80 within three standard errors for the assumed
kind (all, 1-3 pieces of the pattern, sixty pieces), 0.70 or more for the others; loss against
Bayes at most 1.05, for the others together 1.15; against the own rule always below 1.
"""

from __future__ import annotations

import argparse
import math
import time
from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np

from bench.craft.stages import HandsOn
from bench.pace.intervals import Forecast
from bench.pace.model import Model, fit
from bench.pace.piece_in_hand import SoFar, piece_in_hand
from bench.pace.predictive import forecast, stage_predictive
from tests.speed.pace_bayes import forecast_samples
from tests.speed.pace_makers import KINDS, Kind, Maker, cross_seconds, make

LEVELS = (0.1, 0.5, 0.9)
PIECES, KNOWN = 60, 10
NORMAL_90 = 1.2816


def low_mid_high(said: Forecast) -> tuple[float, float, float]:
    """The 10, 50 and 90 % quantiles."""
    return said.quantile(0.1), said.quantile(0.5), said.quantile(0.9)


def pinball(truth: float, quantiles: tuple[float, float, float]) -> float:
    """Mean loss of the 10, 50 and 90 % quantiles, in the unit of the truth."""
    return sum(
        max(p * (truth - q), (p - 1) * (truth - q)) for p, q in zip(LEVELS, quantiles, strict=True)
    ) / len(LEVELS)


@dataclass
class Tally:
    """How far truths lie from forecasts, by maker: makers are the clusters of the standard error.

    Far is 0 at the median and 1 at the end of the 80 % interval on that side, on the log scale.
    """

    far: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))

    def add(self, maker: int, truth: float, quantiles: tuple[float, float, float]) -> None:
        """Count one forecast of a maker, by its 10, 50 and 90 % quantiles."""
        low, median, high = map(math.log, quantiles)
        off = math.log(truth) - median
        self.far[maker].append(off / (high - median) if off > 0 else off / (low - median))

    def coverage(self, width: float = 1.0) -> tuple[float, float, int]:
        """Share of hits, its standard error with makers as clusters, number of forecasts.

        `width`: as if every interval had been so many times as wide.
        """
        hits = [[far <= width for far in some] for some in self.far.values()]
        n = sum(map(len, hits))
        share = sum(map(sum, hits)) / n
        squares = sum((sum(h) - share * len(h)) ** 2 for h in hits)
        return share, math.sqrt(squares) / n, n


@dataclass
class Result:
    """Everything measured on one kind of maker."""

    coverage: dict[str, Tally] = field(default_factory=lambda: defaultdict(Tally))
    losses: dict[str, list[tuple[float, float]]] = field(default_factory=lambda: defaultdict(list))

    def ratio(self, name: str) -> float:
        """Mean loss of the model over that of the other forecaster."""
        mine, other = np.array(self.losses[name]).T
        return float(mine.mean() / other.mean())


def measure(
    result: Result,
    number: int,
    maker: Maker,
    rng: np.random.Generator,
    points: int,
    bayes: bool,
    whole_only: bool,
) -> None:
    """Forecast some pieces of one maker, and the rest of sixty pieces after ten."""
    records = [maker.record(i, whole_only=whole_only) for i in range(PIECES)]
    chosen = sorted(rng.choice(np.arange(1, 45), size=points, replace=False))
    for n in map(int, chosen):
        model = fit(records[:n])
        said = forecast(model, [maker.job(n, maker.days[n - 1])])
        quantiles = low_mid_high(said)
        truth = float(maker.seconds(n).sum())
        past = [i for i in range(n) if maker.variants[i][0] == maker.variants[n][0]]
        result.coverage["all"].add(number, truth, quantiles)
        group = "0" if not past else "1-3" if len(past) <= 3 else "4+"
        result.coverage[group].add(number, truth, quantiles)
        loss = pinball(truth, quantiles)
        if bayes and 1 <= len(past) <= 11:
            draws = forecast_samples(rng, maker, n)
            low, middle, high = map(float, np.quantile(draws, LEVELS))
            best = (low, middle, high)
            group = "bayes 1-3" if len(past) <= 3 else "bayes 4-11"
            result.coverage[group].add(number, truth, best)
            result.losses["bayes 1-2" if len(past) <= 2 else "bayes 3-11"].append(
                (loss, pinball(truth, best))
            )
        if len(past) >= 2:
            totals = np.array([maker.seconds(i).sum() for i in past])
            m, s = float(totals.mean()), float(totals.std(ddof=1))
            own = pinball(truth, (m - NORMAL_90 * s, m, m + NORMAL_90 * s))
            for low, high in ((2, 2), (3, 5), (6, 11), (12, 99)):
                if low <= len(past) <= high:
                    result.losses[f"own rule {low}-{high}"].append((loss, own))
    model = fit(records[:KNOWN])
    measure_live(result, number, maker, rng, model)
    today = maker.days[KNOWN - 1]
    to_come = forecast(model, [maker.job(i, today) for i in range(KNOWN, PIECES)])
    truth = sum(float(maker.seconds(i).sum()) for i in range(KNOWN, PIECES))
    result.coverage["sixty pieces"].add(number, truth, low_mid_high(to_come))


def measure_live(
    result: Result, number: int, maker: Maker, rng: np.random.Generator, model: Model
) -> None:
    """Forecast the whole of one piece from inside its braid."""
    job = maker.job(KNOWN, maker.days[KNOWN - 1])
    load, set_up, braid, rest = map(float, maker.seconds(KNOWN))
    crosses = job.work.crosses
    upto = np.cumsum(cross_seconds(rng, crosses, braid))
    expected = stage_predictive(model, job.variant)
    for quarter in (1, 2, 3):
        made = crosses * quarter // 4
        so_far: dict[HandsOn, SoFar] = {
            "load": SoFar(job.work.beads, load),
            "set_up": SoFar(job.work.strands, set_up),
            "braid": SoFar(made, float(upto[made - 1])),
        }
        said = low_mid_high(piece_in_hand(expected, job.work, so_far))
        result.coverage[f"in hand {quarter}/4"].add(number, load + set_up + braid + rest, said)


def simulate(
    kind: Kind,
    makers: int,
    seed: int,
    points: int = 6,
    bayes: bool = True,
    whole_only: bool = False,
) -> Result:
    """Measure one kind of maker."""
    result = Result()
    for number in range(makers):
        rng = np.random.default_rng([seed, KINDS.index(kind), number])
        measure(result, number, make(rng, kind, PIECES), rng, points, bayes, whole_only)
    return result


def main() -> None:
    """Run the simulation and print what was measured."""
    parser = argparse.ArgumentParser(description="Measure the pace model on simulated makers.")
    parser.add_argument("--assumed", type=int, default=1000)
    parser.add_argument("--others", type=int, default=200)
    parser.add_argument("--points", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--no-bayes", action="store_true")
    parser.add_argument(
        "--whole-only", action="store_true", help="records know only the whole piece's time"
    )
    parser.add_argument("--kinds", nargs="*", default=KINDS, choices=KINDS)
    args = parser.parse_args()
    pooled: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for kind in args.kinds:
        start = time.perf_counter()
        makers = args.assumed if kind == "assumed" else args.others
        result = simulate(kind, makers, args.seed, args.points, not args.no_bayes, args.whole_only)
        print(f"{kind}: {makers} makers, {time.perf_counter() - start:.0f} s")
        for name, tally in sorted(result.coverage.items()):
            share, error, n = tally.coverage()
            print(f"  coverage {name:12} {share:.3f} ± {error:.3f} (n {n})")
        for name in sorted(result.losses):
            print(
                f"  loss against {name:15} {result.ratio(name):.3f} (n {len(result.losses[name])})"
            )
            if kind != "assumed":
                pooled[name] += result.losses[name]
    for name in sorted(pooled):
        mine, other = np.array(pooled[name]).T
        print(f"others together: loss against {name:15} {mine.mean() / other.mean():.3f}")


if __name__ == "__main__":
    main()
