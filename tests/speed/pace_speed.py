"""How long a refit takes, and how it grows with the number of pieces.

    python -m tests.speed.pace_speed

Seconds are for the record; what counts is that ten times the pieces take ten times as long.
"""

from __future__ import annotations

import math
import random
import time
from collections.abc import Callable

from bench.craft.stages import HandsOn
from bench.pace.evening_plan import PieceAhead
from bench.pace.guess import guess
from bench.pace.model import fit
from bench.pace.piece_in_hand import SoFar, piece_in_hand
from bench.pace.predictive import Job, forecast, stage_predictive
from bench.pace.records import PieceRecord, StageTime, Work
from bench.pace.what_fits import what_fits
from tests.support.runs import whole_run

DROP = Work(128, 8, 72)
SIZES = ((50, 5), (200, 8), (200, 20), (1000, 40), (10_000, 100), (10_000, 300))
"""Pieces and patterns."""


def records(pieces: int, patterns: int) -> list[PieceRecord]:
    """Pieces of patterns in two colourways, in random order."""
    rng = random.Random(1)
    out = []
    for i in range(pieces):
        pattern = rng.randrange(patterns)
        evening = 0.09 * rng.gauss(0, 1) + 0.05 * (pattern % 5)
        stages = tuple(
            StageTime(s, DROP.units(s), seconds * math.exp(evening + 0.13 * rng.gauss(0, 1)))
            for s, seconds in guess(DROP).items()
        )
        colourway = rng.choice(("rain", "dusk"))
        out.append(PieceRecord(f"pattern {pattern}", "", colourway, DROP, i * 1.7, stages))
    return out


def best_ms(work: Callable[[], object], times: int = 5) -> float:
    """Shortest of a few runs, in milliseconds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return 1000 * min(found)


def main() -> None:
    """Print refit times by size, and those of the forecasts."""
    for pieces, patterns in SIZES:
        made = records(pieces, patterns)
        ms = best_ms(lambda made=made: fit(made))  # type: ignore[misc]
        print(f"fit {pieces:6} pieces, {patterns:3} patterns: {ms:7.1f} ms, {ms / pieces:.3f} each")
    model = fit(records(200, 8))
    job = Job("pattern 1", "", "rain", DROP)
    hand: dict[HandsOn, SoFar] = {"braid": SoFar(30, 800.0)}
    waiting = [PieceAhead(f"{i}", job, 1800.0) for i in range(60)]
    for name, work in {
        "next piece": lambda: forecast(model, [job]),
        "piece in hand": lambda: piece_in_hand(stage_predictive(model, job.variant), DROP, hand),
        "run of 60": lambda: whole_run(model, [job] * 60),
        "what fits in 2 h 15": lambda: what_fits(model, waiting, 8100.0),
    }.items():
        print(f"{name}: {best_ms(work):.1f} ms")


if __name__ == "__main__":
    main()
