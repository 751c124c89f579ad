"""What recorded times say to the screens: own times of a pattern, and when a piece is ready."""

from __future__ import annotations

import datetime as dt

from bench.braid import STAGES, Braid
from bench.clock import Clock
from bench.journal.store import Journal
from bench.pace.live import SoFar, during
from bench.pace.model import Model, fit
from bench.pace.predict import Job, forecast
from bench.pace.records import STAGES as HANDS_ON
from bench.pace.records import PieceRecord, Stage, Work
from bench.pace.simple import OwnTimes, own_times
from bench.times import records

_ROUND_S = 300.0


class Outlook:
    """The maker's pace, read from the journal and fitted when first asked for."""

    def __init__(self, journal: Journal | None, clock: Clock) -> None:
        self._journal = journal
        self._clock = clock
        self._records: list[PieceRecord] | None = None
        self._model: Model | None = None

    def renew(self) -> None:
        """Forget what was read: a piece may have been finished."""
        self._records = None
        self._model = None

    @property
    def records(self) -> list[PieceRecord]:
        """Every piece with its times."""
        if self._records is None:
            self._records = [] if self._journal is None else records(self._journal)
        return self._records

    @property
    def model(self) -> Model:
        """The maker's pace."""
        if self._model is None:
            self._model = fit(self.records)
        return self._model

    def own(self, pattern: str) -> OwnTimes:
        """The maker's own times of a pattern."""
        return own_times(self.records, pattern)

    def next_piece(self, pattern: str, work: Work) -> tuple[float, float, float]:
        """Seconds of the next piece of a pattern: low, median and high, at a level of 0.8."""
        forecast_ = forecast(self.model, [Job(pattern, "", "", work)])
        return forecast_.quantile(0.1), forecast_.quantile(0.5), forecast_.quantile(0.9)

    def ready(self, braid: Braid) -> dt.datetime | None:
        """When the piece will be ready if the hands go on, to five minutes; drying included."""
        state, plan = braid.state, braid.plan
        if not state.open or state.stage is None:
            return None
        work = Work(sum(len(load) for load in plan.loads), plan.strands, max(1, plan.crosses))
        job = Job(state.pattern_name, state.size or "", state.colourway or "", work)
        times = braid.braid_times()
        so_far: dict[Stage, SoFar] = {}
        here = STAGES.index(state.stage)
        for stage in HANDS_ON:
            if stage == "braid" and here == STAGES.index("braid"):
                so_far[stage] = SoFar(braid.made, times.hands_on_s)
            elif STAGES.index(stage) < here:
                so_far[stage] = SoFar(max(1, work.units(stage)), 0.0)
        forecast = during(self.model, job, so_far)
        spent = sum(part.seconds for part in so_far.values())
        rest = max(0.0, forecast.quantile(0.5) - spent)
        if here <= STAGES.index("dry"):
            rest += 60 * braid.pattern.finish.dry_minutes
        now = self._clock.now()
        zone = dt.timezone(dt.timedelta(minutes=now.offset_min))
        return dt.datetime.fromtimestamp(round((now.wall + rest) / _ROUND_S) * _ROUND_S, zone)
