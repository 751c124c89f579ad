"""What comes before a lot is done: samples, and what is promised earlier, in other orders too."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from bench.pace.intervals import Forecast
from bench.pace.model import Model
from bench.pace.predictive import Job
from bench.pace.weeks import Weeks
from bench.pace.work_ahead import spaced, works_ahead


@dataclass(frozen=True, slots=True)
class LotJobs:
    """What is to come of a lot, and when it is promised; `sample`: its first job comes first."""

    due: dt.date | None
    jobs: tuple[Job, ...]
    sample: bool = False

    @property
    def day(self) -> dt.date:
        """When it is promised; the end of time where it is not."""
        return self.due or dt.date.max


@dataclass(frozen=True, slots=True)
class Until:
    """Seconds until a lot is done, in its turn; and until all is that is promised by its day.

    `place`: how many pieces are made until it is done.
    """

    place: int
    done: Forecast
    promise: Forecast


def untils(
    model: Model, weeks: Weeks, own: Sequence[LotJobs], others: Sequence[LotJobs] = ()
) -> tuple[Until, ...]:
    """How long it takes until each of an order's lots is done, whatever comes before it.

    Its own samples come first; then what is promised for an earlier day; of one day the others',
    so that no hour is counted on twice.
    """
    promised = [lot for lot in others if lot.due is not None]
    turns = sorted([*promised, *own], key=lambda lot: lot.day)
    queue = list[Job]()
    ends: dict[int, int] = {}
    for lot in turns:
        if lot.sample:
            queue += lot.jobs[:1]
            ends[id(lot)] = len(queue)
    for lot in turns:
        rest = lot.jobs[1:] if lot.sample else lot.jobs
        queue += rest
        if rest or not lot.sample:
            ends[id(lot)] = len(queue)
    by_day: dict[dt.date, int] = {}
    for lot in own:
        by_day[lot.day] = max(ends[id(lot)], by_day.get(lot.day, 0))
    spans = {ends[id(lot)]: (0, ends[id(lot)]) for lot in own}
    found = works_ahead(model, spaced(model, queue, weeks), [*spans.values()])
    by_end = dict(zip(spans, found, strict=True))
    return tuple(
        Until(ends[id(lot)], by_end[ends[id(lot)]], by_end[by_day[lot.day]]) for lot in own
    )
