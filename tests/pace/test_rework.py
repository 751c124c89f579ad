"""The maker's usual rework in forecasts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bench.craft.stages import HandsOn
from bench.pace.model import fit
from bench.pace.piece_in_hand import SoFar, piece_in_hand
from bench.pace.predictive import Job, by_stage, forecast, history, stage_predictive
from bench.pace.price import price
from bench.pace.records import PieceRecord, StageTime, Work
from bench.pace.rework import Rework, usual_rework
from tests.support.runs import whole_run

DROP = Work(128, 8, 72)
JOB = Job("eaves", "", "", DROP)
TIMES = (
    StageTime("load", 128, 1000.0),
    StageTime("set_up", 8, 600.0),
    StageTime("braid", 72, 2000.0),
    StageTime("finish", 1, 1200.0),
)
CLEAN = [PieceRecord("eaves", "", "", DROP, float(day), TIMES) for day in range(19)]
AGAIN = [replace(record, rework_s=400.0) for record in CLEAN]


def test_the_usual_rework_is_a_share_of_braiding() -> None:
    """Nineteen pieces with a fifth of rework and one without that is assumed make 19 %."""
    assert usual_rework(AGAIN).share == pytest.approx(0.19)
    assert usual_rework(CLEAN) == Rework()
    whole = [PieceRecord("eaves", "", "", DROP, whole_s=4800.0, rework_s=0.0)]
    assert usual_rework([*AGAIN, *whole]).share < 0.19


def test_rework_is_in_every_forecast() -> None:
    """The next piece, its braiding, a run with its price, and the band of past pieces have it."""
    clean, again = fit(CLEAN), fit(AGAIN)
    more = 0.19 * by_stage(clean, JOB)["braid"].quantile(0.5)
    for count in (1, 10):
        jobs = [JOB] * count
        before, after = (forecast(model, jobs).quantile(0.5) for model in (clean, again))
        assert after - before == pytest.approx(count * more, rel=0.05)
        assert (
            whole_run(again, jobs).quantile(0.5) - whole_run(clean, jobs).quantile(0.5)
            > count * more
        )
    assert by_stage(again, JOB)["load"] == by_stage(clean, JOB)["load"]
    charged = [price(whole_run(model, [JOB]), per_hour=36.0).median for model in (clean, again)]
    assert charged[1] - charged[0] == pytest.approx(more / 100, rel=0.1)
    last = history(again, AGAIN, "eaves")[-1]
    assert last.band.quantile(0.5) == pytest.approx(last.record.total_s, rel=0.02)


def test_rework_to_come_of_the_piece_in_hand() -> None:
    """A piece half braided without a slip still has the usual rework of its other half to come."""
    done: dict[HandsOn, SoFar] = {
        "load": SoFar(128, 0.0),
        "set_up": SoFar(8, 0.0),
        "braid": SoFar(36, 1000.0),
    }
    clean, again = (
        piece_in_hand(stage_predictive(fit(made), JOB.variant), DROP, done)
        for made in (CLEAN, AGAIN)
    )
    assert again.quantile(0.5) - clean.quantile(0.5) == pytest.approx(0.19 * 1000, rel=0.1)


def test_uneven_rework_widens_the_interval() -> None:
    """Rework that comes with every fourth piece alone makes the next piece less certain."""
    uneven = [replace(r, rework_s=1600.0 * (n % 4 == 0)) for n, r in enumerate(CLEAN)]
    assert forecast(fit(uneven), [JOB]).log_sd > 1.2 * forecast(fit(AGAIN), [JOB]).log_sd
