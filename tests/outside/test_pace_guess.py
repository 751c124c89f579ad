"""The built-in guess against common practice. No source: practitioners' figures."""

from __future__ import annotations

import pytest

from bench.pace.model import fit
from bench.pace.predictive import Job, forecast
from bench.pace.records import Work

DROPS = [
    (beads, crosses) for beads, crosses in ((104, 60), (112, 64), (120, 68), (128, 72), (136, 76))
]


@pytest.mark.parametrize(("beads", "crosses"), DROPS)
def test_drop_without_data(beads: int, crosses: int) -> None:
    """With no data an eight-strand drop of 13 to 17 beads a strand is judged as makers do.

    Common practice, no source: 60 to 90 minutes hands-on, all stages together, must lie inside
    the 80 % interval, and the interval inside 40 to 150 minutes.
    """
    job = Job("a drop", "", "", Work(beads, 8, crosses))
    said = forecast(fit([]), [job]).interval()
    low, high = said.low_s / 60, said.high_s / 60
    assert 40 <= low <= 60
    assert 90 <= high <= 150
