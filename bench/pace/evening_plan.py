"""Stages of pieces as an evening's plan: in which order, and with what chance it holds."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.bench_order import StagesAhead, best_order, starts_of
from bench.pace.intervals import Forecast
from bench.pace.model import Model
from bench.pace.predictive import Job, by_stage, forecast

CHANCE = 0.8
LEAST_SLOW, MOST_SLOW = 0.05, 20.0
"""How many times the median work can take, for all that its chance is asked for."""
LEAST_GAIN = 1.01
"""So many times as slow another order has to allow to be the better one."""
COST = 0.01
"""By so much stages of other pieces may lower the chance of those that get finished."""


@dataclass(frozen=True)
class PieceAhead:
    """A piece of the commission that is not finished."""

    name: str
    """What the maker calls it; only handed back."""
    job: Job
    dry_s: float
    """How long it dries after braiding."""
    drying_s: float | None = None
    """Seconds it still has to dry once it is braided; None while it is not."""
    on_stand: bool = False
    """Whether it lies on a stand now: being set up, braided, or drying."""
    lot: str = field(default="", compare=False)
    """The lot that it is for; only handed back."""


@dataclass(frozen=True)
class ScheduledStage:
    """One stage of one piece in the plan, in seconds from now; `part`: unless it is done whole."""

    name: str
    stage: HandsOn
    start_s: float
    end_s: float
    part: StagePart | None = None


@dataclass(frozen=True)
class StagePart:
    """So many units (beads, strands, crosses) of those that a stage has left; of all it has."""

    units: int
    left: int
    whole: int


@dataclass
class Bench:
    """What all plans share: the model, every piece, the stands, the time."""

    model: Model
    pieces: tuple[PieceAhead, ...]
    stands: int
    limit_s: float
    _stage_s: dict[Job, dict[HandsOn, float]] = field(default_factory=dict)

    def stage_s(self, job: Job) -> dict[HandsOn, float]:
        """Median seconds by stage of what is left of a job."""
        if job not in self._stage_s:
            stages = by_stage(self.model, job)
            self._stage_s[job] = {s: f.quantile(0.5) for s, f in stages.items()}
        return self._stage_s[job]

    @cached_property
    def named(self) -> dict[str, PieceAhead]:
        """The pieces by their names."""
        return {piece.name: piece for piece in self.pieces}

    def units(self, name: str, stage: HandsOn) -> float:
        """Beads, strands or crosses that a stage of a piece has left."""
        job = self.named[name].job
        return dict(job.shares)[stage] * job.work.units(stage)

    def fits_alone(self, piece: PieceAhead, stage: HandsOn) -> bool:
        """Whether the time at hand is long enough for a stage of a piece by itself."""
        return Plan(self, {piece.name: (stage,)}).most >= CHANCE


class Plan:
    """Chosen pieces with their stages, in the best order that was found for them.

    The order is sought only where the chance can be what is asked for without it.
    """

    def __init__(
        self,
        bench: Bench,
        chosen: dict[str, tuple[HandsOn, ...]],
        parts: Mapping[str, float] = MappingProxyType({}),
    ) -> None:
        """Plan some stages of some pieces; parts: of whose last stage only such a share."""
        self.bench, self.chosen, self.parts = bench, chosen, parts
        self.ahead: list[StagesAhead] = []
        jobs = []
        for piece in bench.pieces:
            stages, seconds = chosen.get(piece.name, ()), bench.stage_s(piece.job)
            part = parts.get(piece.name)
            if part is not None:
                seconds = {**seconds, stages[-1]: part * seconds[stages[-1]]}
            if stages or piece.on_stand:
                ahead = _stages_ahead(piece, stages, seconds, cut_short=part is not None)
                self.ahead.append(ahead)
            if stages:
                jobs.append(replace(piece.job, shares=_shares(piece.job, stages, part)))
        self.stages = sum(len(piece.stages) for piece in self.ahead)
        self.work: Forecast = forecast(bench.model, jobs)

    @cached_property
    def order(self) -> tuple[int, ...] | None:
        """The best order that was found; None if no stand comes free."""
        found = best_order(self.ahead, self.bench.stands)
        slow = self._slowest(found)
        if slow is not None:
            # Where all goes so slowly that it just fits another order may be the best.
            slower = [
                replace(p, stages=tuple((s, slow * x) for s, x in p.stages)) for p in self.ahead
            ]
            other = best_order(slower, self.bench.stands)
            if (self._slowest(other) or 0.0) > LEAST_GAIN * slow:
                return other
        return found

    @cached_property
    def most(self) -> float:
        """What no order's chance exceeds: that the work itself, without a wait, fits the time."""
        if not self.stages:
            return 1.0
        slow = self.bench.limit_s / sum(s for piece in self.ahead for _, s in piece.stages)
        return self.work.chance(min(slow, MOST_SLOW) * self.work.quantile(0.5))

    @cached_property
    def finished(self) -> tuple[str, ...]:
        """The pieces that it finishes."""
        return tuple(name for name, stages in self.chosen.items() if stages == HANDS_ON)

    @cached_property
    def slow(self) -> float:
        """So many times the median the work takes at the pace that holds as it is wanted."""
        return self.work.quantile(CHANCE) / self.work.quantile(0.5) if self.stages else 1.0

    def holds(self) -> bool:
        """Whether all of it is done in the time with the chance that is wanted."""
        return self.most >= CHANCE and self.chance() >= CHANCE

    def harmless(self, before: Plan) -> Plan | None:
        """The same plan in an order that holds and costs nothing of what the one before finishes.

        What is new to it comes last where no other order will do; None if that will not either.
        """
        finished = before.finished
        if self.most < CHANCE:
            return None
        for plan in (self, self._with_order(before)):
            if plan.chance() >= CHANCE and (
                not finished or plan.chance(finished) >= before.chance(finished) - COST
            ):
                return plan
        return None

    def _with_order(self, before: Plan) -> Plan:
        """The same stages, those of the plan before in its order, then the others."""
        place = {piece.name: n for n, piece in enumerate(self.ahead)}
        order = [place[before.ahead[n].name] for n in before.order or ()]
        for n, piece in enumerate(self.ahead):
            order += [n] * (len(piece.stages) - order.count(n))
        plan = Plan(self.bench, self.chosen, self.parts)
        plan.order = tuple(order)
        return plan

    def next_stage(self, piece: PieceAhead) -> HandsOn | None:
        """The first stage of a piece that has some work and is not in the plan."""
        if piece.name in self.parts:
            return None
        known, seconds = self.chosen.get(piece.name, ()), self.bench.stage_s(piece.job)
        return next((stage for stage in HANDS_ON if stage in seconds and stage not in known), None)

    def and_with(
        self, piece: PieceAhead, stages: tuple[HandsOn, ...], part: float | None = None
    ) -> Plan:
        """Make a new plan that also has these stages of a piece; part: so much of the last."""
        parts = self.parts if part is None else {**self.parts, piece.name: part}
        return Plan(self.bench, {**self.chosen, piece.name: stages}, parts)

    def chance(self, names: Sequence[str] | None = None) -> float:
        """Chance that everything, or these pieces, are done in the time; 1 with nothing to do."""
        if not self.stages:
            return 1.0
        slow = self._slowest(self.order, names)
        return 0.0 if slow is None else self.work.chance(slow * self.work.quantile(0.5))

    def _slowest(
        self, order: Sequence[int] | None, names: Sequence[str] | None = None
    ) -> float | None:
        """So many times the median may all of it take to be done in the time; None if it cannot."""
        if order is None or not order or not self._fits(order, LEAST_SLOW, names):
            return None
        low, high = math.log(LEAST_SLOW), math.log(MOST_SLOW)
        while high - low > 1e-3:
            middle = (low + high) / 2
            fits = self._fits(order, math.exp(middle), names)
            low, high = (middle, high) if fits else (low, middle)
        return math.exp(low)

    def _fits(self, order: Sequence[int], slow: float, names: Sequence[str] | None) -> bool:
        found = starts_of(self.ahead, self.bench.stands, order, slow)
        if found is None:
            return False
        if names is None:
            return found[1] <= self.bench.limit_s
        return all(
            step.end_s <= self.bench.limit_s
            for step in self._steps(order, found[0], slow)
            if step.name in names
        )

    def laid_out(self) -> list[ScheduledStage]:
        """Its steps at the pace that holds with the chance that is wanted."""
        if not self.order:
            return []
        found = starts_of(self.ahead, self.bench.stands, self.order, self.slow)
        return [] if found is None else self._steps(self.order, found[0], self.slow)

    def _steps(
        self, order: Sequence[int], starts: Sequence[float], slow: float
    ) -> list[ScheduledStage]:
        done, steps = [0] * len(self.ahead), []
        for n, start in zip(order, starts, strict=True):
            name, (stage, seconds) = self.ahead[n].name, self.ahead[n].stages[done[n]]
            done[n] += 1
            is_part = name in self.parts and done[n] == len(self.ahead[n].stages)
            part = self._part(name, stage) if is_part else None
            steps.append(ScheduledStage(name, stage, start, start + slow * seconds, part))
        return steps

    def _part(self, name: str, stage: HandsOn) -> StagePart:
        """How much the part of a stage is."""
        left = self.bench.units(name, stage)
        whole = self.bench.named[name].job.work.units(stage)
        return StagePart(int(self.parts[name] * left), round(left), round(whole))


def _shares(
    job: Job, stages: Sequence[HandsOn], part: float | None
) -> tuple[tuple[HandsOn, float], ...]:
    """What is to be done of a job in some stages; part: so much of the last one."""
    last = stages[-1] if part is not None else None
    return tuple(
        (stage, share * part if stage == last and part is not None else share)
        for stage, share in job.shares
        if stage in stages
    )


def _stages_ahead(
    piece: PieceAhead,
    stages: Sequence[HandsOn],
    seconds: dict[HandsOn, float],
    *,
    cut_short: bool,
) -> StagesAhead:
    return StagesAhead(
        piece.name,
        tuple(
            (stage, seconds[stage]) for stage in HANDS_ON if stage in stages and stage in seconds
        ),
        "braid" not in seconds,
        piece.dry_s,
        piece.drying_s or 0.0,
        piece.on_stand,
        cut_short,
    )
