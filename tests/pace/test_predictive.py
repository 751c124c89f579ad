"""Forecasts: pieces, stages, sums, the piece in hand."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.guess import guess
from bench.pace.intervals import LEVEL, Forecast
from bench.pace.model import Model, fit
from bench.pace.piece_in_hand import SoFar, piece_in_hand
from bench.pace.predictive import Job, by_stage, forecast, history, stage_predictive
from bench.pace.records import PieceRecord, StageTime, Work

DROP = Work(128, 8, 72)
JOB = Job("Silver Eaves", "as drawn", "rain", DROP)


@pytest.fixture(scope="module")
def model() -> Model:
    """Fit a maker with twenty pieces in two patterns."""
    rng = random.Random(1)
    return fit(
        [
            PieceRecord(
                ("Silver Eaves", "Cistern")[i % 2],
                "as drawn",
                "rain",
                DROP,
                float(i),
                tuple(
                    StageTime(s, DROP.units(s), seconds * math.exp(0.1 * rng.gauss(0, 1)))
                    for s, seconds in guess(DROP).items()
                ),
            )
            for i in range(20)
        ]
    )


@given(st.floats(-5, 15), st.floats(0.01, 1.5), st.floats(4, 300), st.floats(0, 1e5))
def test_chance_and_quantile_agree(
    log_median: float, log_sd: float, freedom: float, done: float
) -> None:
    """The chance of being done by a quantile is that quantile's, and quantiles rise."""
    said = Forecast(log_median, log_sd, freedom, done)
    interval = said.interval()
    assert interval.level == LEVEL == 0.8
    assert done < interval.low_s < interval.median_s < interval.high_s
    alone = replace(said, done_s=0.0)
    for p in (0.1, 0.5, 0.8):
        assert alone.chance(alone.quantile(p)) == pytest.approx(p, abs=1e-3)


def test_no_work_takes_no_time(model: Model) -> None:
    """Nothing to do is done already."""
    nothing = replace(JOB, shares=())
    assert forecast(model, [nothing]).interval().high_s == 0
    assert forecast(model, []).quantile(0.9) == 0


def test_stages_make_up_the_piece(model: Model) -> None:
    """Medians of the stages add up to the median of the piece within 2 %."""
    stages = by_stage(model, JOB)
    assert list(stages) == list(HANDS_ON)
    whole = forecast(model, [JOB]).quantile(0.5)
    assert sum(f.quantile(0.5) for f in stages.values()) == pytest.approx(whole, rel=0.02)


def test_a_stage_without_work_is_left_out(model: Model) -> None:
    """A cord without beads has nothing to load."""
    cord = Job("cord", "", "", Work(0, 16, 400))
    assert list(by_stage(model, cord)) == ["set_up", "braid", "finish"]


def test_errors_that_pieces_share_do_not_cancel(model: Model) -> None:
    """A lot of 40 is relatively surer than a piece, but much less than 40 independent ones."""
    one, lot = forecast(model, [JOB]), forecast(model, [JOB] * 40)
    assert one.log_sd / math.sqrt(40) * 1.5 < lot.log_sd < one.log_sd
    unknown = replace(JOB, pattern="never made")
    assert forecast(model, [unknown] * 40).log_sd > lot.log_sd


def test_learning_goes_on_through_a_lot() -> None:
    """A maker who got faster with every piece takes less for forty than forty times the next."""
    records = []
    for n in range(1, 13):
        stages = tuple(
            StageTime(s, DROP.units(s), seconds * n**-0.2) for s, seconds in guess(DROP).items()
        )
        records.append(PieceRecord(*JOB.variant, DROP, float(n), stages))
    model = fit(records)
    ratio = forecast(model, [JOB] * 40).quantile(0.5) / forecast(model, [JOB]).quantile(0.5)
    assert 32 < ratio < 38


def test_far_ahead_is_less_certain(model: Model) -> None:
    """A piece to be made in a year is less certain than the next."""
    later = forecast(model, [replace(JOB, days_ahead=365.0)])
    assert later.log_sd > forecast(model, [JOB]).log_sd


def test_a_new_colourway_is_nearly_as_certain_as_the_known_one(model: Model) -> None:
    """Another colourway is less certain than the known one, a new pattern still less."""
    known = forecast(model, [JOB]).log_sd
    colour = forecast(model, [replace(JOB, colourway="dusk")]).log_sd
    new = forecast(model, [replace(JOB, pattern="never made")]).log_sd
    assert known < colour < new


def in_hand(model: Model, done: Mapping[HandsOn, SoFar]) -> Forecast:
    """Seconds of the drop in hand, of which some is done."""
    return piece_in_hand(stage_predictive(model, JOB.variant), DROP, done)


def so_far(crosses: int, seconds_each: float) -> dict[HandsOn, SoFar]:
    """Give a piece loaded and set up as guessed, and so many crosses made."""
    seconds = guess(DROP)
    return {
        "load": SoFar(128, seconds["load"]),
        "set_up": SoFar(8, seconds["set_up"]),
        "braid": SoFar(crosses, crosses * seconds_each),
    }


def test_the_piece_in_hand_grows_certain(model: Model) -> None:
    """With every quarter of the braid the interval of the whole piece narrows."""
    each = guess(DROP)["braid"] / 72
    widths = []
    for crosses in (0, 18, 36, 54, 72):
        said = piece_in_hand(
            stage_predictive(model, JOB.variant), DROP, so_far(crosses, each)
        ).interval()
        widths.append(said.high_s - said.low_s)
    before = forecast(model, [JOB]).interval()
    assert before.high_s - before.low_s > widths[0]
    assert widths == sorted(widths, reverse=True)


def test_a_slow_piece_is_told_early(model: Model) -> None:
    """A braid that runs half as slow again moves the finish later, more with each row."""
    each = 1.5 * guess(DROP)["braid"] / 72
    before = forecast(model, [JOB]).quantile(0.5)
    early = in_hand(model, so_far(8, each)).quantile(0.5)
    late = in_hand(model, so_far(64, each)).quantile(0.5)
    assert before < early < late


def test_a_finished_piece_took_what_it_took(model: Model) -> None:
    """When all stages are done nothing is uncertain any more."""
    done: dict[HandsOn, SoFar] = {**so_far(72, 25.0), "finish": SoFar(1, 900.0)}
    spent = sum(part.seconds for part in done.values())
    said = in_hand(model, done).interval()
    assert said.low_s == said.high_s == pytest.approx(spent)


def test_nothing_done_yet_is_the_next_piece(model: Model) -> None:
    """Before the first bead the piece in hand is forecast as the next piece."""
    now, ahead = (
        in_hand(model, {}).interval(),
        forecast(model, [JOB]).interval(),
    )
    assert now.median_s == pytest.approx(ahead.median_s, rel=0.01)
    assert now.high_s == pytest.approx(ahead.high_s, rel=0.02)


def test_history_follows_the_pieces() -> None:
    """The band laid over past pieces falls as the maker learns, and holds most of them."""
    rng = random.Random(6)
    records = []
    for n in range(1, 31):
        stages = tuple(
            StageTime(s, DROP.units(s), seconds * n**-0.15 * math.exp(0.12 * rng.gauss(0, 1)))
            for s, seconds in guess(DROP).items()
        )
        records.append(PieceRecord(*JOB.variant, DROP, float(n), stages))
    records.append(replace(records[0], pattern="Cistern", day=31.0))
    laid = history(fit(records), records[::-1], "Silver Eaves")
    assert [made.number for made in laid] == list(range(1, 31))
    medians = [made.band.quantile(0.5) for made in laid]
    assert medians[0] > 1.25 * medians[-1]
    held = 0
    for made in laid:
        said = made.band.interval()
        held += said.low_s <= (made.record.total_s or 0.0) <= said.high_s
    assert 20 <= held <= 30
