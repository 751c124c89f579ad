"""What can be finished in the time at hand, and with what chance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.bench_order import StagesAhead, best_order, starts_of
from bench.pace.intervals import Forecast
from bench.pace.model import Model
from bench.pace.predictive import Job, by_stage, forecast

CHANCE = 0.8
MOST_PIECES = 60
"""Pieces of the commission that are worth looking at; more do not fit in a day."""
LEAST_SLOW, MOST_SLOW = 0.05, 20.0
"""How many times the median work can take, for all that its chance is asked for."""
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
    """One stage of one piece in the plan, in seconds from now."""

    name: str
    stage: HandsOn
    start_s: float
    end_s: float


@dataclass(frozen=True)
class Schedule:
    """What fits: the steps in order, and the pieces that they finish.

    chance: that these pieces get finished in the time. one_more: the chance that they and one
    piece more would, in the best order for that; None if there is none. end_s: when the last step
    ends if all goes as slowly as the wanted chance asks for; so are the steps laid out.
    """

    finished: tuple[str, ...]
    chance: float
    one_more: float | None
    steps: tuple[ScheduledStage, ...]
    end_s: float


def what_fits(
    model: Model,
    pieces: Sequence[PieceAhead],
    seconds: float,
    *,
    stands: int = 1,
) -> Schedule:
    """Choose the most pieces that get finished in the time by `CHANCE`, then whole stages.

    Args:
        model: the maker's pace.
        pieces: what is to be done, in the order in which the maker would take it.
        seconds: the time at hand.
        stands: braiding stands there are.

    Raises:
        ValueError: no time, no stand, or two pieces of one name.

    """
    if len({p.name for p in pieces}) != len(pieces):
        raise ValueError("every piece needs a name of its own")
    if seconds <= 0 or stands < 1:
        raise ValueError("it needs some time and at least one stand")
    bench = _Bench(model, tuple(pieces), stands, seconds)
    # Pieces on a stand come first, since they block it; then the quickest to finish.
    order = sorted(pieces, key=lambda p: (not p.on_stand, bench.effort_s(p.job)))
    plan, one_more = _most_finished(bench, order)
    finished = tuple(plan.chosen)
    sure = plan.chance()
    plan = _with_stages(plan, [p for p in order if p.name not in plan.chosen])
    steps = tuple(plan.laid_out())
    end_s = max((step.end_s for step in steps), default=0.0)
    return Schedule(finished, min(sure, plan.chance(finished)), one_more, steps, end_s)


def _most_finished(bench: _Bench, pieces: Sequence[PieceAhead]) -> tuple[_Plan, float | None]:
    """Add pieces while they get finished; and the chance that one more would. Equal ones are."""
    plan, one_more = _Plan(bench, {}), None
    failed: dict[PieceAhead, _Plan] = {}
    for piece in pieces:
        kind = replace(piece, name="")
        if kind in failed:
            continue
        tried = plan.and_with(piece, HANDS_ON)
        if tried.holds():
            plan, failed = tried, {}
        else:
            failed[kind] = tried
    left = {replace(p, name=""): p for p in reversed(pieces) if p.name not in plan.chosen}
    more = [failed.get(kind) or plan.and_with(p, HANDS_ON) for kind, p in left.items()]
    for tried in sorted(more, key=lambda plan: plan.most, reverse=True):
        if one_more is None or tried.most > one_more:
            one_more = max(tried.chance(), one_more or 0.0)
    return plan, one_more


def _with_stages(plan: _Plan, pieces: Sequence[PieceAhead]) -> _Plan:
    """Add whole stages of other pieces, not at the cost of those that get finished."""
    finished, sure = tuple(plan.chosen), plan.chance()
    failed: set[PieceAhead] = set()
    for piece in pieces:
        kind = replace(piece, name="")
        if kind in failed:
            continue
        for upto in range(len(HANDS_ON) - 1, 0, -1):
            tried = plan.and_with(piece, HANDS_ON[:upto])
            if tried.stages > plan.stages and tried.holds() and (
                not finished or tried.chance(finished) >= sure - COST
            ):  # fmt: skip
                plan = tried
                break
        else:
            failed.add(kind)
    return plan


@dataclass
class _Bench:
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

    def effort_s(self, job: Job) -> float:
        """Median seconds of what is left of a job, about."""
        return sum(self.stage_s(job).values())


class _Plan:
    """Chosen pieces with their stages, in the best order that was found for them.

    The order is sought only where the chance can be what is asked for without it.
    """

    def __init__(self, bench: _Bench, chosen: dict[str, tuple[HandsOn, ...]]) -> None:
        self.bench, self.chosen = bench, chosen
        self.ahead: list[StagesAhead] = []
        jobs = []
        for piece in bench.pieces:
            stages, seconds = chosen.get(piece.name, ()), bench.stage_s(piece.job)
            if stages or piece.on_stand:
                self.ahead.append(_stages_ahead(piece, stages, seconds))
            if stages:
                shares = tuple((s, x) for s, x in piece.job.shares if s in stages)
                jobs.append(replace(piece.job, shares=shares))
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
            if (self._slowest(other) or 0.0) > slow:
                return other
        return found

    @cached_property
    def most(self) -> float:
        """What no order's chance exceeds: that the work itself, without a wait, fits the time."""
        if not self.stages:
            return 1.0
        slow = self.bench.limit_s / sum(s for piece in self.ahead for _, s in piece.stages)
        return self.work.chance(min(slow, MOST_SLOW) * self.work.quantile(0.5))

    def holds(self) -> bool:
        """Whether all of it is done in the time with the chance that is wanted."""
        return self.most >= CHANCE and self.chance() >= CHANCE

    def and_with(self, piece: PieceAhead, stages: tuple[HandsOn, ...]) -> _Plan:
        """Make a new plan that also has these stages of a piece."""
        return _Plan(self.bench, {**self.chosen, piece.name: stages})

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
        slow = self.work.quantile(CHANCE) / self.work.quantile(0.5)
        found = starts_of(self.ahead, self.bench.stands, self.order, slow)
        return [] if found is None else self._steps(self.order, found[0], slow)

    def _steps(
        self, order: Sequence[int], starts: Sequence[float], slow: float
    ) -> list[ScheduledStage]:
        done, steps = [0] * len(self.ahead), []
        for n, start in zip(order, starts, strict=True):
            stage, seconds = self.ahead[n].stages[done[n]]
            steps.append(ScheduledStage(self.ahead[n].name, stage, start, start + slow * seconds))
            done[n] += 1
        return steps


def _stages_ahead(
    piece: PieceAhead, stages: Sequence[HandsOn], seconds: dict[HandsOn, float]
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
    )
