"""The work ahead: pieces that are spoilt, finish dates, prices."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from bench.pace.guess import guess
from bench.pace.intervals import Forecast
from bench.pace.model import Model, fit
from bench.pace.predictive import Job, forecast
from bench.pace.price import price
from bench.pace.records import Outcome, PieceRecord, StageTime, Work
from bench.pace.weeks import Weeks
from bench.pace.work_ahead import spaced, works_ahead
from tests.support.runs import whole_run

DROP = Work(128, 8, 72)
JOB = Job("Silver Eaves", "as drawn", "rain", DROP)


def maker(outcomes: list[Outcome]) -> Model:
    """Fit a maker at the guessed speed whose pieces came out so."""
    stages = tuple(StageTime(s, DROP.units(s), t) for s, t in guess(DROP).items())
    return fit(
        [
            PieceRecord("Silver Eaves", "as drawn", "rain", DROP, float(i), stages, outcome=o)
            for i, o in enumerate(outcomes)
        ]
    )


GOOD = maker(["good"] * 20)


def test_spoilt_pieces_lengthen_a_run() -> None:
    """A run allows for pieces to be made again, more so for a maker who spoils more."""
    often = maker(["good", "second", "good", "given_up", "good"] * 4)
    jobs = [JOB] * 30
    for model, share in ((GOOD, 1 / 40), (often, 9 / 40)):
        grown, once = whole_run(model, jobs), forecast(model, jobs)
        longer = grown.quantile(0.5) / once.quantile(0.5)
        assert longer == pytest.approx(1 / (1 - share), rel=0.06)
        assert grown.quantile(0.9) / grown.quantile(0.1) > once.quantile(0.9) / once.quantile(0.1)


def test_spoilt_pieces_against_draws() -> None:
    """The allowance has the mean of as many draws of pieces until all are good."""
    often = maker(["good", "second", "good", "given_up", "good"] * 4)
    rng = random.Random(4)
    jobs, total, rounds = 30, 0, 4000
    for _ in range(rounds):
        p = rng.betavariate(1 + 8, 19 + 12)
        good = 0
        while good < jobs:
            good += rng.random() >= p
            total += 1
    grown, once = whole_run(often, [JOB] * jobs), forecast(often, [JOB] * jobs)
    assert grown.mean_s() / once.mean_s() == pytest.approx(total / rounds / jobs, rel=0.02)


@pytest.mark.parametrize("jobs", [1, 2, 6, 60])
def test_a_run_of_few_pieces_is_as_sure_as_it_is(jobs: int) -> None:
    """Of draws of pieces until all are good, a tenth lies below the low and above the high."""
    often = maker(["good", "second", "good", "given_up", "good"] * 4)
    for model, spoilt, good in ((GOOD, 0, 20), (often, 8, 12)):
        rng, once, found = random.Random(jobs), forecast(model, [JOB] * jobs), list[float]()
        for _ in range(4000):
            p = rng.betavariate(1 + spoilt, 19 + good)
            again = done = 0
            while done < jobs:
                bad = rng.random() < p
                again, done = again + bad, done + (not bad)
            half = once.degrees_of_freedom / 2
            t = rng.gauss(0, 1) / math.sqrt(rng.gammavariate(half, 1 / half))
            seconds = math.exp(once.log_median + once.log_sd * t) * (1 + again / jobs)
            found.append(seconds)
        said = whole_run(model, [JOB] * jobs)
        for p in (0.1, 0.5, 0.9):
            least = said.quantile(p)
            assert sum(s < least for s in found) / 4000 == pytest.approx(p, abs=0.025)
            assert said.chance(least) == pytest.approx(p, abs=0.001)


def test_the_first_so_many_of_a_run_are_as_by_themselves() -> None:
    """What is worked out of a run's beginnings together is what each of them says alone."""
    half = replace(JOB, shares=(("load", 0.0), ("set_up", 0.0), ("braid", 0.5), ("finish", 1.0)))
    done = replace(JOB, shares=())
    other = replace(JOB, pattern="Stair Rope")
    run = spaced(GOOD, [half, done, JOB, other, half, other], Weeks(6.0))
    ends = range(len(run) + 1)
    parts = works_ahead(GOOD, run, [(0, end) for end in ends])
    for end, found in zip(ends, parts, strict=True):
        alone = whole_run(GOOD, run[:end])
        for name in ("log_median", "log_sd", "degrees_of_freedom"):
            assert getattr(found, name) == pytest.approx(getattr(alone, name), rel=1e-9), name
        for said, times in zip(found.times, alone.times, strict=True):
            assert said == pytest.approx(times)


def test_what_comes_later_in_a_run_goes_faster() -> None:
    """Of two equal halves of a run the second takes less by what is learned in the first."""
    slow = maker(["good"] * 2)
    first, second = works_ahead(slow, [JOB] * 40, ((0, 20), (20, 40)))
    assert first.mean_s() > second.mean_s()
    both = whole_run(slow, [JOB] * 40)
    assert first.mean_s() + second.mean_s() == pytest.approx(both.mean_s(), rel=0.02)


def test_braided_pieces_are_not_spoilt_any_more() -> None:
    """A run in which only finishing is left allows for none."""
    left = [replace(JOB, shares=(("finish", 1.0),))] * 5
    assert whole_run(GOOD, left) == forecast(GOOD, left)


def test_a_piece_that_is_spoilt_half_made_is_made_again_whole() -> None:
    """What a run allows for a half-made piece is half the chance, at the cost of a whole piece."""
    half = replace(JOB, shares=(("load", 0.0), ("set_up", 0.0), ("braid", 0.5), ("finish", 1.0)))
    often = maker(["good", "second", "good", "given_up", "good"] * 4)

    def allowed_s(job: Job) -> float:
        grown, once = whole_run(often, [job] * 20), forecast(often, [job] * 20)
        return grown.mean_s() - once.mean_s()

    assert allowed_s(half) == pytest.approx(allowed_s(JOB) / 2, rel=0.02)


def test_untimed_pieces_that_were_given_up_count_as_spoilt() -> None:
    """Pieces given up before anything was timed lengthen a run as timed ones do."""
    made = [
        PieceRecord("Silver Eaves", "as drawn", "rain", DROP, float(i), whole_s=4000.0)
        for i in range(10)
    ]
    without, spoilt = fit(made), fit(made, untimed=["given_up"] * 5)
    assert spoilt.pieces == 10
    for model, share in ((without, 1 / 30), (spoilt, 6 / 35)):
        growth = whole_run(model, [JOB] * 10).mean_s() / forecast(model, [JOB] * 10).mean_s()
        assert growth == pytest.approx(1 + share / (1 - share), rel=0.05)


def test_pieces_are_spread_over_the_weeks() -> None:
    """At six hours a week the sixtieth drop comes up months from now."""
    jobs = spaced(GOOD, [JOB] * 60, Weeks(6.0))
    hours = forecast(GOOD, [JOB]).quantile(0.5) / 3600
    assert jobs[0].days_ahead == 0
    assert jobs[59].days_ahead == pytest.approx(59 * hours / 6 * 7)


def test_price() -> None:
    """Hours at the rate, plus materials, plus overhead on both, plus the margin on all of it."""
    sure = Forecast(8.188689124444202, 1e-9, 100.0)  # log of 3,600 s
    assert price(sure, per_hour=30, materials=6, margin=0.25).median == pytest.approx(45.0)
    whole = price(sure, per_hour=30, materials=6, overhead=0.1, margin=0.25)
    assert whole.median == pytest.approx(49.5)
    said = price(forecast(GOOD, [JOB]), per_hour=30)
    assert said.low < said.median < said.high
    with pytest.raises(ValueError, match="negative"):
        price(sure, per_hour=-1)
