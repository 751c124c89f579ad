"""The counterweight against published rules, and the schedule against brute force."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft import counterweight as cw
from bench.craft.counterweight import Masses


def test_half_of_all_tama_is_the_glossary_rule() -> None:
    """American Kumihimo Society, glossary, "Tsuri-omori": 8 tama of 70 g, 280 g."""
    assert cw.counterweight_g(0.5, 8 * 70, 0) == 280


def test_the_default_lies_in_the_printed_rules() -> None:
    """Tada, Kumihimo Notes: total tama is 2 to 2.5 times the weight, so 0.40 to 0.50."""
    assert 1 / 2.5 <= cw.FRACTION <= 1 / 2
    assert cw.check_fraction(cw.FRACTION) is None


@pytest.mark.parametrize(
    ("tama", "each_g", "weight_g"),
    [
        # Tada, Kumihimo Notes: 8 × 240 g → 600 to 800 g; 16 × 100 g → 550 to 700 g.
        (8, 240, 800),
        (16, 100, 700),
        # R. Neilson, Sample-Swap: edo yatsu, 8 × 150 g, 630 g.
        (8, 150, 630),
        # facetjewelry.com, 2018/04: 240 g, with 70 g tama.
        (8, 70, 240),
    ],
)
def test_printed_examples_are_not_warned_about(tama: int, each_g: float, weight_g: float) -> None:
    """The heavier end of every printed example lies in the usual range."""
    assert cw.check_fraction(cw.share(weight_g, Masses(0, tama * each_g, 0))) is None


rows_of_masses = st.lists(
    st.tuples(st.integers(400, 700), st.integers(0, 120)), min_size=1, max_size=5
)
sets_of_weights = st.lists(
    st.sampled_from([5.0, 10.0, 18.5, 20.0, 50.0, 100.0, 150.0]), min_size=1, max_size=5
)


@settings(max_examples=150)
@given(rows_of_masses, sets_of_weights, st.sampled_from([0.03, 0.05, 0.1]))
def test_no_schedule_has_fewer_changes(
    rows: list[tuple[int, int]], weights: list[float], band: float
) -> None:
    """Every way to hang subsets row by row is tried, and none has fewer changes.

    Of the starts that have so few, the one nearest the fraction is taken.
    """
    series = [Masses(4 * i, strands, hangs) for i, (strands, hangs) in enumerate(rows)]
    subsets = {
        round(math.fsum(chosen), 6)
        for size in range(len(weights) + 1)
        for chosen in itertools.combinations(weights, size)
    }
    allowed = []
    for masses in series:
        low = (0.47 - band) * masses.strands_g - masses.hangs_g
        high = (0.47 + band) * masses.strands_g - masses.hangs_g
        serving = {total for total in subsets if low - 1e-7 <= total <= high + 1e-7}
        allowed.append(serving)
    steps = cw.schedule(series, weights, band=band)
    if not all(allowed):
        at = next(i for i, serving in enumerate(allowed) if not serving)
        named = [step.leaves_band_at for step in steps if step.leaves_band_at is not None]
        assert named[0] == series[at].cross
        return
    assert all(step.leaves_band_at is None for step in steps)
    changes = {
        start: min(
            sum(a != b for a, b in itertools.pairwise(hung))
            for hung in itertools.product({start}, *allowed[1:])
        )
        for start in allowed[0]
    }
    fewest = min(changes.values())
    assert len(steps) - 1 == fewest
    wanted = 0.47 * series[0].strands_g - series[0].hangs_g
    nearest = min(abs(start - wanted) for start, number in changes.items() if number == fewest)
    assert abs(steps[0].counterweight_g - wanted) == pytest.approx(nearest, abs=1e-5)


@settings(max_examples=150)
@given(st.integers(200, 700), st.integers(0, 60), sets_of_weights)
def test_the_best_subset_is_hung(strands: int, hangs: int, weights: list[float]) -> None:
    """Over all subsets, none is nearer the wanted counterweight, none as near has fewer weights."""
    masses = Masses(0, strands, hangs)
    (step,) = cw.schedule([masses], weights)
    wanted = 0.47 * strands - hangs
    subsets = [
        (round(abs(math.fsum(chosen) - wanted), 6), size)
        for size in range(len(weights) + 1)
        for chosen in itertools.combinations(weights, size)
    ]
    nearest = min(away for away, _ in subsets)
    assert abs(step.counterweight_g - wanted) == pytest.approx(nearest, abs=1e-5)
    same = math.fsum(step.weights_g)
    fewest = min(
        size
        for size in range(len(weights) + 1)
        for chosen in itertools.combinations(weights, size)
        if math.isclose(math.fsum(chosen), same)
    )
    assert len(step.weights_g) == fewest
