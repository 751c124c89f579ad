from __future__ import annotations

import math
import random

from bench.pace.drift import LATELY, USUAL, drift


def gaps(seed: random.Random, count: int, typical_s: float, spread: float) -> list[float]:
    """Gaps of a simulated maker: log-normal, as gaps at work are."""
    return [math.exp(seed.gauss(math.log(typical_s), spread)) for _ in range(count)]


def test_an_even_hand_is_hardly_ever_told_that_it_drifts() -> None:
    """In a thousand stretches without any change, at most one is taken for drift."""
    seed = random.Random(19)
    told = sum(drift(gaps(seed, 300, 8.0, 0.3)) is not None for _ in range(1000))
    assert told <= 1


def test_a_tired_hand_is_told_most_of_the_time() -> None:
    """Half as slow again and twice as uneven is seen in nine of ten stretches, with its figures.

    The figures told are those that the gaps were drawn with, within a fifth.
    """
    seed = random.Random(20)
    found = [drift(gaps(seed, 260, 8.0, 0.3) + gaps(seed, LATELY, 12.0, 0.6)) for _ in range(200)]
    told = [one for one in found if one is not None]
    assert len(told) >= 170
    assert all(abs(one.usual_s / 8.0 - 1) < 0.2 for one in told)
    assert abs(sum(one.lately_s for one in told) / len(told) / 12.0 - 1) < 0.2


def test_slower_alone_or_uneven_alone_is_no_drift() -> None:
    """Who takes more care, or is called away now and then, is told nothing, but for chance."""
    seed = random.Random(21)
    slow = [drift(gaps(seed, 260, 8.0, 0.3) + gaps(seed, LATELY, 11.0, 0.3)) for _ in range(200)]
    uneven = [drift(gaps(seed, 260, 8.0, 0.3) + gaps(seed, LATELY, 8.0, 0.5)) for _ in range(200)]
    assert sum(one is not None for one in slow) <= 16
    assert sum(one is not None for one in uneven) <= 16


def test_too_few_presses_say_nothing() -> None:
    """Before there is a usual of one's own nothing is told; breaks are left out of it."""
    seed = random.Random(22)
    few = gaps(seed, USUAL - 1, 8.0, 0.3) + gaps(seed, LATELY, 20.0, 0.8)
    assert drift(few) is None
    steady = gaps(seed, 300, 8.0, 0.3)
    for at in range(265, 300, 5):
        steady[at] = 900.0
    assert drift(steady) is None
