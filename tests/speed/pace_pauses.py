"""How often 8 in 10 holds, by pieces known and days of pause, for makers of a wider population.

    python -m tests.speed.pace_pauses --makers 2000 --seed 1

prints the share of next pieces that the 80 % interval holds, for 1, 2, 5 and 30 pieces known and
pauses of 0, 30, 90 and 180 days after them; about four minutes on two cores. Wanted: each of
them 0.80 within three standard errors. The makers are not drawn from what the model takes for
granted: their spreads are as wide or wider, they tire, hands grow cold by another law, a tenth
of them is far from the usual, and what is simulated of a pause is known to no part of the model.
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial

import numpy as np

from bench.pace.intervals import LEVEL
from bench.pace.model import Model, fit
from bench.pace.predictive import forecast
from tests.speed.pace_makers import WORKS, Array, Maker, around, pattern_covariance

KNOWN = (1, 2, 5, 30)
PAUSES = (0.0, 30.0, 90.0, 180.0)

LEVEL_SD, STAGE_SD = 0.26, 0.34
FAR_CHANCE, FAR_TIMES = 0.1, 1.6  # a maker in ten, so many times as far from the usual
OVERALL_SLOPE, PATTERN_SLOPE = (0.06, 0.05), (0.06, 0.05)  # mean, spread
PATTERN_SD = (0.16, 0.5)  # median over makers, spread of its log; likewise below
VARIANT_SHARE = 0.45
DRIFT_SD_100_DAYS = (0.10, 0.6)
NOISE_SD = (0.16, 0.4)
STAGE_SCATTER_SD = 0.3
NOISE_SHARED = (0.0, 0.5)  # between
TAIL = 5.0
BAD_CHANCE, BAD_MEAN, BAD_SD = 0.1, 0.35, 0.15  # a bad evening
COLD = (0.05, 0.05)  # log seconds after a pause without end, never negative
COLD_DAYS, COLD_LEFT = 45.0, 0.6  # of the pause's exponential; what is left after a piece
DAYS_BETWEEN, PAUSE_CHANCE, PAUSE_DAYS = 1.7, 0.05, 40.0
LOT_PIECES = 6.0


def _spread(rng: np.random.Generator, mean: float, sd: float) -> float:
    return mean + sd * float(rng.standard_normal())


def wider_maker(rng: np.random.Generator, pieces: int) -> Maker:
    """One maker of the wider population with so many pieces made, without the next one."""
    scatter = np.exp(STAGE_SCATTER_SD * rng.standard_normal(4))
    shared = rng.uniform(*NOISE_SHARED)
    noise = around(rng, NOISE_SD) ** 2 * np.outer(scatter, scatter)
    noise *= (1 - shared) * np.eye(4) + shared
    return Maker(
        kind="tired evenings",
        pattern_sd=around(rng, PATTERN_SD),
        drift_sd=around(rng, DRIFT_SD_100_DAYS),
        noise=noise,
        tail=TAIL,
        jump_at=None,
        hard=None,
    )


class Hands:
    """What goes on in one maker: log seconds of pieces, one after the other."""

    def __init__(self, rng: np.random.Generator, maker: Maker) -> None:
        """Draw what is true of the maker."""
        self.rng, self.maker = rng, maker
        far = FAR_TIMES if rng.random() < FAR_CHANCE else 1.0
        self.level = far * (LEVEL_SD * rng.standard_normal() + STAGE_SD * rng.standard_normal(4))
        self.overall, self.within = _spread(rng, *OVERALL_SLOPE), _spread(rng, *PATTERN_SLOPE)
        root = np.linalg.cholesky(pattern_covariance())
        self.effects = {n: maker.pattern_sd * root @ rng.standard_normal(4) for n in WORKS}
        self.variants: dict[tuple[str, str, str], float] = {}
        self.noise_root = np.linalg.cholesky(maker.noise)
        self.most_cold = max(0.0, _spread(rng, *COLD))
        self.cold = self.walk = self.day = 0.0
        self.made: list[tuple[str, str, str]] = []
        self.variant = ("", "", "")

    def rest(self, days: float) -> None:
        """Let days go by."""
        self.day += days
        self.walk += self.maker.drift_sd * math.sqrt(days / 100) * float(self.rng.standard_normal())
        self.cold = max(self.cold, 1 - math.exp(-max(0.0, days - 4) / COLD_DAYS))

    def choose(self) -> None:
        """Go on with the lot, or with another one."""
        rng = self.rng
        if not self.made or rng.random() < 1 / LOT_PIECES:
            self.variant = (
                str(rng.choice(list(WORKS))),
                "as drawn",
                str(rng.choice(["rain", "dusk"])),
            )
        spread = VARIANT_SHARE * self.maker.pattern_sd
        self.variants.setdefault(self.variant, spread * float(rng.standard_normal()))

    def logs(self) -> Array:
        """Log seconds of the next piece relative to the guess, by stage."""
        rng, pattern = self.rng, self.variant[0]
        before = sum(made[0] == pattern for made in self.made)
        row = self.level + self.effects[pattern] + self.variants[self.variant] + self.walk
        row = row - self.overall * math.log(len(self.made) + 1)
        row = row - self.within * math.log(before + 1) + self.most_cold * self.cold
        if rng.random() < BAD_CHANCE:
            row = row + max(0.0, _spread(rng, BAD_MEAN, BAD_SD))
        weight = rng.chisquare(TAIL) / TAIL
        return np.asarray(row + self.noise_root @ rng.standard_normal(4) / math.sqrt(weight))

    def make(self) -> None:
        """Make the piece that was chosen."""
        self.maker.logs = np.vstack([self.maker.logs, self.logs()])
        self.maker.variants.append(self.variant)
        self.maker.days.append(self.day)
        self.made.append(self.variant)
        self.cold *= COLD_LEFT

    def gap(self) -> float:
        """Days until the next piece, as they fall among others."""
        rng = self.rng
        pause = rng.exponential(PAUSE_DAYS) if rng.random() < PAUSE_CHANCE else 0.0
        return float(rng.exponential(DAYS_BETWEEN) + pause)


def how_far(
    seed: int,
    number: int,
    many: Sequence[int] = KNOWN,
    pauses: Sequence[float] = PAUSES,
) -> list[list[float]]:
    """How far one maker's next pieces lie from their forecasts, known (`many`) × pauses in days.

    0 at the median and ±1 at the ends of the 80 % interval, on the log scale.
    """
    out = []
    for known in many:
        row: list[float] = []
        model: Model | None = None
        for pause in pauses:
            rng = np.random.default_rng([seed, number, known])
            maker = wider_maker(rng, known)
            hands = Hands(rng, maker)
            for piece in range(known):
                if piece:
                    hands.rest(hands.gap())
                hands.choose()
                hands.make()
            hands.rest(pause)
            hands.choose()
            model = model or fit([maker.record(i) for i in range(known)])
            hands.make()
            said = forecast(replace(model, pause_days=pause), [maker.job(known, hands.day)])
            low, middle, high = (math.log(said.quantile(p)) for p in (0.1, 0.5, 0.9))
            off = math.log(float(maker.seconds(known).sum())) - middle
            row.append(off / (high - middle if off > 0 else middle - low))
        out.append(row)
    return out


def table(makers: int, seed: int) -> Array:
    """How far pieces lie from their forecasts: makers × known × pauses, on all cores."""
    with ProcessPoolExecutor() as pool:
        rows: Sequence[list[list[float]]] = list(
            pool.map(partial(how_far, seed), range(makers), chunksize=20)
        )
    return np.array(rows)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Measure 8 in 10 by pieces known and by pause.")
    parser.add_argument("--makers", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    start = time.perf_counter()
    far = table(args.makers, args.seed)
    error = math.sqrt(LEVEL * (1 - LEVEL) / args.makers)
    print(f"{args.makers} makers a cell, {time.perf_counter() - start:.0f} s")
    print(f"wanted: {LEVEL:.3f} ± {3 * error:.3f}; in brackets below the interval, and above it")
    print("known  " + "".join(f"{f'{pause:.0f} days':>22}" for pause in PAUSES))
    for k, known in enumerate(KNOWN):
        cells = []
        for p in range(len(PAUSES)):
            off = far[:, k, p]
            share = np.mean(np.abs(off) <= 1)
            cells.append(f"{share:.3f} ({np.mean(off < -1):.3f}, {np.mean(off > 1):.3f})")
        print(f"{known:5}  " + "".join(f"{cell:>22}" for cell in cells))


if __name__ == "__main__":
    main()
