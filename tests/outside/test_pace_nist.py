"""The regression under the pace model against certified values of NIST.

Source: NIST Statistical Reference Datasets (StRD), the files that ship inside the wheels of
scipy (Norris, one-way analyses of variance) and statsmodels (Longley).
"""

from __future__ import annotations

import math
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bench.pace.model import Model, fit
from bench.pace.partial_pooling import inverse
from bench.pace.predictive import Job, forecast
from bench.pace.prior import Prior
from bench.pace.records import PieceRecord, StageTime, Work

_SCIPY = find_spec("scipy")
assert _SCIPY is not None
assert _SCIPY.origin is not None
DATA = Path(_SCIPY.origin).parent / "stats" / "tests" / "data"
WORK = Work(128, 8, 72)
FINISH_GUESS_S = 1200.0

FLAT = Prior(
    level_sd=1e3,
    stage_sd=1e3,
    overall_slope=(0.0, 1e-9),
    pattern_slope=(0.0, 1e-9),
    pattern_sd=(1e3, 1e-9),
    variant_share=1e-9,
    drift_sd=(1e-9, 1e-9),
    scatter_degrees_of_freedom=1e-9,
    tail=1e12,
)
"""A prior that says nothing, and normal scatter: the model is then plain least squares."""


def least_squares(x: Any, y: Any) -> tuple[list[float], float]:
    """Coefficients and residual standard deviation by the pace room's own algebra."""
    found = inverse(x.T @ x)[0] @ (x.T @ y)
    left = y - x @ found
    return found.tolist(), math.sqrt(float(left @ left) / (len(y) - x.shape[1]))


def test_norris() -> None:
    """Intercept, slope and residual standard deviation of Norris are the certified ones."""
    path = DATA / "nist_linregress" / "Norris.dat"
    rows = [line.split() for line in path.read_text().splitlines()[30:46] if line.split()]
    certified = {row[0]: row[1] for row in rows if row[0] in ("B0", "B1")}
    (sd,) = [row[2] for row in rows if row[:2] == ["Standard", "Deviation"]]
    y, x = np.loadtxt(path, skiprows=60).T
    (b0, b1), s = least_squares(np.column_stack([np.ones_like(x), x]), y)
    assert b0 == pytest.approx(float(certified["B0"]), rel=1e-9)
    assert b1 == pytest.approx(float(certified["B1"]), rel=1e-12)
    assert s == pytest.approx(float(sd), rel=1e-10)


def test_longley() -> None:
    """The seven coefficients of the ill-conditioned Longley data are the certified ones."""
    import statsmodels.api as sm
    from statsmodels.regression.tests.results.results_regression import Longley

    data = sm.datasets.longley.load_pandas()
    x, y = data.exog.to_numpy(), data.endog.to_numpy()
    middle, spread = x.mean(axis=0), x.std(axis=0)
    z = np.column_stack([np.ones(len(y)), (x - middle) / spread])
    found, _ = least_squares(z, y)
    slopes = np.array(found[1:]) / spread
    certified = Longley().params  # the six slopes, then the constant
    assert slopes == pytest.approx(certified[:6], rel=1e-8)
    assert found[0] - float(slopes @ middle) == pytest.approx(certified[6], rel=1e-8)


def fitted(groups: Any, values: Any) -> Model:
    """Fit the pace model to one stage, with groups as patterns and values as log times."""
    return fit(
        [
            PieceRecord(
                f"level {group:.0f}",
                "",
                "",
                WORK,
                0.0,
                (StageTime("finish", 1, FINISH_GUESS_S * math.exp(value)),),
            )
            for group, value in zip(groups, values, strict=True)
        ],
        FLAT,
    )


@pytest.mark.parametrize("name", ["SiRstv", "AtmWtAg", "SmLs01", "SmLs02"])
def test_analysis_of_variance(name: str) -> None:
    """Scatter within groups and group means of the fitted model give the certified F."""
    path = DATA / "nist_anova" / f"{name}.dat"
    lines = path.read_text().splitlines()[40:47]
    # Lines read "Between Instrument  4  5.11462616000000E-02  … F" and "Within … ".
    between = next(line.split() for line in lines if line.startswith("Between"))
    within = next(line.split() for line in lines if line.startswith("Within"))
    groups, values = np.loadtxt(path, skiprows=60).T
    low, wide = values.min(), values.max() - values.min()
    model = fitted(groups, (values - low) / wide)
    freedom = int(within[-3])
    assert model.degrees_of_freedom == pytest.approx(freedom, rel=1e-6)
    assert model.scatter[3][3] * wide**2 == pytest.approx(float(within[-1]), rel=1e-5)
    means = {}
    for group in np.unique(groups):
        job = Job(f"level {group:.0f}", "", "", WORK, (("finish", 1.0),))
        means[group] = forecast(model, [job]).log_median - math.log(FINISH_GUESS_S)
    grand = float(np.mean([means[g] for g in groups]))
    spread = sum((means[g] - grand) ** 2 for g in groups) / (len(means) - 1)
    assert spread / model.scatter[3][3] == pytest.approx(float(between[-1]), rel=1e-4)
