"""The fitted pace."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.craft.stages import HANDS_ON
from bench.pace.design_matrix import drift_weights
from bench.pace.guess import guess
from bench.pace.model import fit
from bench.pace.own_times import by_pattern, own_times
from bench.pace.predictive import Job, forecast
from bench.pace.records import PieceRecord, StageTime, Work

DROP = Work(128, 8, 72)
ROPE = Work(2032, 8, 1024)


def piece(
    rng: random.Random,
    pattern: str = "Silver Eaves",
    *,
    work: Work = DROP,
    log_speed: float = 0.0,
    day: float | None = None,
    sd: float = 0.08,
) -> PieceRecord:
    """Make a piece at e^log_speed times the guess, with scatter."""
    stages = tuple(
        StageTime(s, work.units(s), seconds * math.exp(log_speed + sd * rng.gauss(0, 1)))
        for s, seconds in guess(work).items()
    )
    return PieceRecord(pattern, "as drawn", "rain", work, day, stages)


def median_min(
    records: list[PieceRecord], pattern: str = "Silver Eaves", work: Work = DROP
) -> float:
    """Minutes of the next piece."""
    return forecast(fit(records), [Job(pattern, "as drawn", "rain", work)]).quantile(0.5) / 60


def test_the_makers_times_override_the_guess() -> None:
    """After thirty pieces the forecast is within 3 % of what the maker needs, not the guess."""
    rng = random.Random(1)
    own = [piece(rng, log_speed=0.5, day=float(i)) for i in range(30)]
    last = sum(sum(t.seconds for t in r.stages) for r in own) / 30 / 60
    assert median_min(own) == pytest.approx(last, rel=0.03)
    assert last > 1.5 * median_min([])


def test_one_bad_evening_changes_little() -> None:
    """A piece that took three times as long moves the next forecast by less than 4 %."""
    rng = random.Random(2)
    own = [piece(rng, day=float(i)) for i in range(12)]
    bad = [*own[:6], piece(rng, log_speed=math.log(3), day=6.0), *own[7:]]
    assert median_min(bad) == pytest.approx(median_min(own), rel=0.04)


def test_a_pattern_never_made_goes_by_its_counts_and_the_makers_speed() -> None:
    """A slow maker's first rope is forecast by its counts at the slow speed, less surely."""
    rng = random.Random(3)
    own = [piece(rng, log_speed=0.4, day=float(i)) for i in range(20)]
    model = fit(own)
    rope = forecast(model, [Job("Stair Rope", "as drawn", "rain", ROPE)])
    drop = forecast(model, [Job("Silver Eaves", "as drawn", "rain", DROP)])
    guessed = sum(guess(ROPE).values())
    assert 1.2 * guessed < rope.quantile(0.5) < 1.7 * guessed
    assert rope.log_sd > 1.3 * drop.log_sd


def test_patterns_borrow_from_each_other() -> None:
    """One piece of a new pattern counts, but is drawn towards the maker's others."""
    rng = random.Random(4)
    own = [piece(rng, f"pattern {i % 4}", day=float(i)) for i in range(24)]
    before = median_min(own, "Cistern")
    after = median_min([*own, piece(rng, "Cistern", log_speed=0.5, day=25.0, sd=0.0)], "Cistern")
    assert 1.08 * before < after < math.exp(0.5) * before


def test_speed_of_late_counts_more() -> None:
    """When the last fortnight went faster than the year before, the forecast follows it."""
    rng = random.Random(5)
    old = [piece(rng, log_speed=0.3, day=5.0 * i) for i in range(40)]
    new = [piece(rng, log_speed=-0.1, day=200.0 + i) for i in range(14)]
    lately = sum(guess(DROP).values()) * math.exp(-0.1) / 60
    assert median_min(old + new) == pytest.approx(lately, rel=0.07)


@pytest.mark.parametrize("pause", [30.0, 90.0, 180.0, 1000.0])
def test_a_pause_makes_a_forecast_less_sure_and_does_not_bend_it(pause: float) -> None:
    """After thirty pieces of half an hour and a pause it is still half an hour, told less surely.

    Cold hands may add a tenth at the most; the built-in guess, more than twice as long, nothing.
    """
    rng, half_hour = random.Random(12), math.log(30 / (sum(guess(DROP).values()) / 60))
    own = [piece(rng, log_speed=half_hour, day=float(i)) for i in range(30)]
    said = [
        forecast(fit(own, today=29.0 + days), [Job("Silver Eaves", "as drawn", "rain", DROP)])
        for days in (0.0, pause)
    ]
    warm, cold = (found.quantile(0.5) / 60 for found in said)
    assert warm == pytest.approx(30, rel=0.04)
    assert warm <= cold <= 1.1 * warm
    assert said[1].log_sd > 1.2 * said[0].log_sd


def test_pauses_of_before_teach_how_cold_the_hands_get() -> None:
    """A maker who was slower after each long pause is expected to be so again; another is not."""
    found = []
    for slower in (0.0, 0.25):
        rng, day, own = random.Random(13), 0.0, []
        for number in range(40):
            after_pause = number % 8 == 0 and number > 0
            day += 120.0 if after_pause else 1.0
            own.append(piece(rng, log_speed=slower * after_pause, day=day))
        model = fit(own, today=day + 120.0)
        found.append(forecast(model, [Job("Silver Eaves", "as drawn", "rain", DROP)]).quantile(0.5))
    assert found[1] > 1.08 * found[0]


def test_whole_times_are_enough() -> None:
    """Rows with only the hands-on seconds of the whole piece teach the whole."""
    rng = random.Random(6)
    own = [piece(rng, log_speed=0.5, day=float(i)) for i in range(15)]
    whole = [replace(r, stages=(), whole_s=r.total_s) for r in own]
    assert median_min(whole) == pytest.approx(median_min(own), rel=0.04)


def test_a_whole_with_some_stages_teaches_the_rest() -> None:
    """Where the braid is timed and the whole is known, the other stages get the difference."""
    rng = random.Random(7)
    own = [piece(rng, log_speed=0.5, day=float(i)) for i in range(15)]
    part = [
        replace(r, stages=tuple(t for t in r.stages if t.stage == "braid"), whole_s=r.total_s)
        for r in own
    ]
    assert median_min(part) == pytest.approx(median_min(own), rel=0.03)


def test_half_a_stage_counts_by_its_units() -> None:
    """A stage timed over half its units says the same as one timed over all of them."""
    rng = random.Random(8)
    own = [piece(rng, log_speed=0.3, day=float(i)) for i in range(6)]
    half = [
        replace(r, stages=tuple(StageTime(t.stage, t.units / 2, t.seconds / 2) for t in r.stages))
        for r in own
    ]
    assert median_min(half) == pytest.approx(median_min(own), rel=1e-9)


@given(st.permutations(range(12)))
@settings(max_examples=20)
def test_the_order_of_dated_records_does_not_matter(order: list[int]) -> None:
    """Dated records may come in any order."""
    rng = random.Random(9)
    own = [piece(rng, f"pattern {i % 3}", day=float(i)) for i in range(12)]
    assert median_min([own[i] for i in order]) == pytest.approx(median_min(own), rel=1e-9)


def test_undated_records_count_as_the_oldest() -> None:
    """A row without a date is taken as made on the oldest day known."""
    rng = random.Random(10)
    own = [piece(rng, day=10.0 + i) for i in range(5)]
    undated = [replace(own[0], day=None), *own[1:]]
    oldest = [replace(own[0], day=11.0), *own[1:]]
    assert median_min(undated) == median_min(oldest)


def test_given_up_pieces_teach_their_stages_only() -> None:
    """The whole of a given-up piece says nothing of a whole piece; its stages do."""
    short = PieceRecord("x", "", "", DROP, 0.0, whole_s=600.0, outcome="given_up")
    said = forecast(fit([short]), [Job("x", "", "", DROP)]).quantile(0.5)
    assert said > 0.9 * sum(guess(DROP).values())
    braided = replace(short, whole_s=None, stages=(StageTime("braid", 36, 1800.0),))
    assert forecast(fit([braided]), [Job("x", "", "", DROP)]).quantile(0.5) > 1.1 * said


@given(
    st.lists(st.sampled_from(HANDS_ON), min_size=1, max_size=4, unique=True),
    st.floats(1e-3, 1e7),
    st.integers(1, 6),
)
@settings(max_examples=40)
def test_any_times_give_finite_forecasts(stages: list[str], seconds: float, pieces: int) -> None:
    """However odd the times, the forecast is finite and in order."""
    times = tuple(StageTime(s, 1, seconds) for s in HANDS_ON if s in stages)
    model = fit([PieceRecord("x", "", "", DROP, None, times)] * pieces)
    said = forecast(model, [Job("x", "", "", DROP)]).interval()
    assert 0 < said.low_s < said.median_s < said.high_s < math.inf


def test_knots_are_straight_between() -> None:
    """Between two knots the drift's weights add up to 1, at the newest piece they are none."""
    assert not drift_weights(0.0).any()
    for age in (5.0, 10.0, 100.0, 404.0, 405.0, 9000.0):
        assert drift_weights(age).sum() == pytest.approx(1.0)
    assert drift_weights(2.0).sum() == pytest.approx(0.4)


def test_only_a_model_without_records_is_a_guess() -> None:
    """The guess is marked as one."""
    assert fit([]).is_guess
    assert not fit([piece(random.Random(11))]).is_guess


def test_thousands_of_pieces_that_took_the_same_are_fitted() -> None:
    """Pieces without any scatter, however many, give the time that they all took."""
    stages = tuple(StageTime(s, DROP.units(s), 600.0) for s in HANDS_ON)
    made = PieceRecord("Silver Eaves", "as drawn", "rain", DROP, None, stages)
    assert median_min([made] * 5000) == pytest.approx(40, rel=0.01)


def test_pieces_are_sorted_by_pattern_once() -> None:
    """Each pattern gets its own pieces in their order, so that a list of many costs no more."""
    rng = random.Random(3)
    made = [piece(rng, pattern, day=float(day)) for day, pattern in enumerate("abacb")]
    found = by_pattern(made)
    assert {name: [p.day for p in pieces] for name, pieces in found.items()} == {
        "a": [0.0, 2.0],
        "b": [1.0, 4.0],
        "c": [3.0],
    }
    assert own_times(found["a"], "a") == own_times(made, "a")
