"""What can be finished in the time at hand, with drying pieces keeping their stand.

One maker, some stands. Setting up takes a free stand, which the piece keeps until it has dried;
loading is done beside it, finishing after it. While a piece dries the maker may load, finish
another, or set up and braid on a second stand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from bench.pace.model import Model
from bench.pace.predictive import Job, by_stage, forecast
from bench.pace.records import STAGES, Stage

CHANCE = 0.8
MOST_PIECES = 60
"""Pieces of the commission that are worth looking at; more do not fit in a day."""


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


@dataclass(frozen=True)
class ScheduledStage:
    """One stage of one piece in the plan, in seconds from now."""

    name: str
    stage: Stage
    start_s: float
    end_s: float


@dataclass(frozen=True)
class Schedule:
    """What fits: the steps in order, and the pieces that they finish."""

    finished: tuple[str, ...]
    steps: tuple[ScheduledStage, ...]
    end_s: float
    """When the last step ends, if all goes as slowly as the chance asks for."""


@dataclass
class _Open:
    waiting: PieceAhead
    left: list[tuple[Stage, float]]
    ready_s: float = 0.0
    on_stand: bool = False
    braided: bool = False


def what_fits(
    model: Model,
    pieces: Sequence[PieceAhead],
    seconds: float,
    *,
    stands: int = 1,
    chance: float = CHANCE,
) -> Schedule:
    """Choose the most pieces that get finished in the time with that chance, then whole stages.

    Args:
        model: the maker's pace.
        pieces: what is to be done, in the order in which the maker would take it.
        seconds: the time at hand.
        stands: braiding stands there are.
        chance: how sure it should be that all of it is done.

    Raises:
        ValueError: no time, no stand, or two pieces of one name.

    """
    if len({p.name for p in pieces}) != len(pieces):
        raise ValueError("every piece needs a name of its own")
    if seconds <= 0 or stands < 1:
        raise ValueError("it needs some time and at least one stand")
    plan = _Draft(_Bench(model, tuple(pieces), stands, chance, seconds))
    # Pieces on a stand come first, since they block it; then the quickest to finish.
    order = sorted(plan.bench.pieces, key=lambda p: (not p.on_stand, plan.bench.effort_s(p.job)))
    plan = _add(plan, order, [STAGES])
    finished = tuple(p.name for p, _ in plan.chosen)
    others = [p for p in order if p.name not in finished]
    plan = _add(plan, others, [STAGES[:upto] for upto in range(len(STAGES) - 1, 0, -1)])
    return Schedule(finished, tuple(plan.steps), plan.end_s)


def _add(
    plan: _Draft, pieces: Sequence[PieceAhead], choices: Sequence[tuple[Stage, ...]]
) -> _Draft:
    """Add what fits of each piece, the first choice that does; equal pieces fail alike."""
    failed: set[PieceAhead] = set()
    for piece in pieces:
        kind = replace(piece, name="")
        if kind in failed:
            continue
        for stages in choices:
            tried = plan.with_piece(piece, stages)
            if len(tried.steps) > len(plan.steps) and tried.end_s <= plan.bench.limit_s:
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
    chance: float
    limit_s: float
    _stage_s: dict[Job, dict[Stage, float]] = field(default_factory=dict)

    def stage_s(self, job: Job) -> dict[Stage, float]:
        """Median seconds by stage of what is left of a job."""
        if job not in self._stage_s:
            stages = by_stage(self.model, job)
            self._stage_s[job] = {s: f.quantile(0.5) for s, f in stages.items()}
        return self._stage_s[job]

    def effort_s(self, job: Job) -> float:
        """Median seconds of what is left of a job, about."""
        return sum(self.stage_s(job).values())


class _Draft:
    """Chosen pieces with their stages, laid out in time at the pace that the chance asks for."""

    def __init__(self, bench: _Bench) -> None:
        self.bench = bench
        self.chosen: tuple[tuple[PieceAhead, tuple[Stage, ...]], ...] = ()
        self.steps: list[ScheduledStage] = []
        self.end_s = 0.0

    def with_piece(self, piece: PieceAhead, stages: tuple[Stage, ...]) -> _Draft:
        """Make a new plan that also has these stages of a piece."""
        new = _Draft(self.bench)
        new.chosen = (*self.chosen, (piece, stages))
        new._lay_out()
        return new

    def _lay_out(self) -> None:
        jobs = [
            replace(p.job, shares=tuple((s, x) for s, x in p.job.shares if s in stages))
            for p, stages in self.chosen
        ]
        whole = forecast(self.bench.model, jobs)
        median = whole.quantile(0.5)
        slow = whole.quantile(self.bench.chance) / median if median > 0 else 1.0
        chosen = {p.name: stages for p, stages in self.chosen}
        open_ = []
        for piece in self.bench.pieces:
            stages = chosen.get(piece.name, ())
            if stages or piece.on_stand:
                seconds = self.bench.stage_s(piece.job)
                left = [(s, slow * seconds[s]) for s in STAGES if s in stages and s in seconds]
                braided = "braid" not in seconds
                open_.append(_Open(piece, left, piece.drying_s or 0.0, piece.on_stand, braided))
        self._work_off(open_)

    def _work_off(self, open_: list[_Open]) -> None:
        clock = 0.0
        while any(p.left for p in open_) and clock <= self.bench.limit_s:
            ready = [p for p in open_ if p.left and self._may_start(p, open_, clock)]
            if not ready:
                later = [p.ready_s for p in open_ if p.ready_s > clock]
                if not later:
                    break
                clock = min(later)
                continue
            piece = min(ready, key=_urgency)
            stage, need = piece.left.pop(0)
            self.steps.append(ScheduledStage(piece.waiting.name, stage, clock, clock + need))
            clock += need
            if stage == "set_up":
                piece.on_stand = True
            elif stage == "braid":
                piece.ready_s, piece.braided = clock + piece.waiting.dry_s, True
        self.end_s = math.inf if any(p.left for p in open_) else clock

    def _may_start(self, piece: _Open, open_: Sequence[_Open], clock: float) -> bool:
        stage = piece.left[0][0]
        if stage == "finish":
            return piece.ready_s <= clock
        if stage == "set_up" and not piece.on_stand:
            taken = sum(p.on_stand and not (p.braided and p.ready_s <= clock) for p in open_)
            return taken < self.bench.stands
        return True


def _urgency(piece: _Open) -> int:
    """Braid first, so that drying starts; then set up, finish, and load in the waits."""
    return {"braid": 0, "set_up": 1, "finish": 2, "load": 3}[piece.left[0][0]]
