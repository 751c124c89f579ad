"""Runs of pieces, for checks of what they take."""

from __future__ import annotations

from collections.abc import Sequence

from bench.pace.intervals import Forecast
from bench.pace.model import Model
from bench.pace.predictive import Job
from bench.pace.work_ahead import works_ahead


def whole_run(model: Model, jobs: Sequence[Job]) -> Forecast:
    """Seconds of all the jobs until every one has come out good."""
    return works_ahead(model, jobs, [(0, len(jobs))])[0]
