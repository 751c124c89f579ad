"""What comes before a lot is done: samples, earlier days, other orders."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.before_it import LotJobs, untils
from bench.pace.model import fit
from bench.pace.predictive import Job
from bench.pace.records import Work
from bench.pace.weeks import Weeks
from bench.pace.work_ahead import spaced, works_ahead

MODEL, WEEKS = fit([]), Weeks(10.0)
DAY = dt.date(2027, 3, 1)
LOTS = st.lists(
    st.builds(
        LotJobs,
        st.none() | st.integers(0, 3).map(lambda days: DAY + dt.timedelta(days=days)),
        st.integers(0, 3).map(lambda n: (Job("drop", None, None, Work(128, 8, 72)),) * n),
        st.booleans(),
    ).map(lambda lot: replace(lot, sample=lot.sample and bool(lot.jobs))),
    min_size=1, max_size=4,
)  # fmt: skip


def before(lot: int, own: list[LotJobs], others: list[LotJobs]) -> int:
    """How many pieces are made until a lot is done, counted by looking at each other lot."""
    mine = own[lot]
    samples = [n for n, x in enumerate(own) if x.sample]
    if mine.sample and len(mine.jobs) == 1:
        return sum((own[n].day, n) <= (mine.day, lot) for n in samples)
    count = len(samples)
    for other in others:
        if other.due is not None and other.due <= mine.day:
            count += len(other.jobs)
    for n, x in enumerate(own):
        if (x.day, n) <= (mine.day, lot):
            count += len(x.jobs) - x.sample
    return count


@settings(max_examples=20, deadline=None)
@given(LOTS, LOTS)
def test_a_lot_is_done_after_all_that_comes_before(
    own: list[LotJobs], others: list[LotJobs]
) -> None:
    """Samples first, then by day, of one day the others; a promise is done with its last lot."""
    others = [replace(lot, sample=False) for lot in others]
    found = untils(MODEL, WEEKS, own, others)
    jobs = [job for lot in (*own, *others) for job in lot.jobs]
    for number, (lot, until) in enumerate(zip(own, found, strict=True)):
        place = before(number, own, others)
        last = max(before(n, own, others) for n, x in enumerate(own) if x.day == lot.day)
        assert until.place == place
        for count, said in ((place, until.done), (last, until.promise)):
            (wanted,) = works_ahead(MODEL, spaced(MODEL, jobs[:count], WEEKS), [(0, count)])
            assert said.quantile(0.5) == pytest.approx(wanted.quantile(0.5))
