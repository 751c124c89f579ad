"""What can be finished in the time at hand, and with what chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bench.craft.stages import HANDS_ON, HandsOn
from bench.pace.evening_plan import Bench, PieceAhead, Plan, ScheduledStage
from bench.pace.model import Model

MOST_PIECES = 60
"""Pieces of the commission that are worth looking at; more do not fit in a day."""
LEAST_PART_S = 900.0
"""A part of a stage is worth beginning for so long; no source."""
IN_PARTS: tuple[HandsOn, ...] = ("load", "set_up", "braid")
"""Stages that can be left at any moment; glue cannot."""
HALVINGS = 7
"""So finely it is sought how much of a stage there is time for."""


@dataclass(frozen=True)
class Schedule:
    """What fits: the steps in order, and the pieces that they finish.

    chance: that these pieces get finished in the time. one_more: the chance that they and the next
    piece in turn would, in the best order for that; None if there is none. end_s: when the last
    step ends if all goes as slowly as the wanted chance asks for; so are the steps laid out.
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
    """Take the pieces in their turn: each whole if it gets finished by `CHANCE`, else in stages.

    A piece of which a stage is longer than the whole time gets a part of that. What is left at the
    end goes to a part of the next stage in turn. Pieces on a stand come first, for they block it.

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
    order = sorted(pieces, key=lambda piece: not piece.on_stand)
    bench = Bench(model, tuple(order), stands, seconds)
    plan = _in_turn(bench, order)
    finished = plan.finished
    sure = Plan(bench, dict.fromkeys(finished, HANDS_ON)).chance()
    one_more = _one_more(bench, finished, order)
    plan = _to_the_end(plan, order)
    steps = tuple(plan.laid_out())
    end_s = max((step.end_s for step in steps), default=0.0)
    return Schedule(finished, min(sure, plan.chance(finished)), one_more, steps, end_s)


def _in_turn(bench: Bench, pieces: Sequence[PieceAhead]) -> Plan:
    """Take one piece after the other; what equal ones before it could not do is not tried again."""
    plan, failed = Plan(bench, {}), set[PieceAhead]()
    for piece in pieces:
        kind = replace(piece, name="")
        if kind in failed:
            continue
        tried = plan.and_with(piece, HANDS_ON)
        if not tried.holds():
            tried = _stages_of(plan, piece)
        if tried is plan:
            failed.add(kind)
        else:
            plan, failed = tried, set()
    return plan


def _stages_of(plan: Plan, piece: PieceAhead) -> Plan:
    """Add whole stages of a piece, and a part of the next where no evening holds it whole."""
    for upto in range(len(HANDS_ON) - 1, 0, -1):
        tried = plan.and_with(piece, HANDS_ON[:upto])
        better = tried.harmless(plan) if tried.stages > plan.stages else None
        if better is not None:
            plan = better
            break
    following = plan.next_stage(piece)
    if following is None or plan.bench.fits_alone(piece, following):
        return plan
    return _with_part(plan, piece, following)


def _with_part(plan: Plan, piece: PieceAhead, stage: HandsOn) -> Plan:
    """Add as much of a stage as there is time left for; the same plan if that is too little."""
    steps = plan.laid_out()
    left_s = plan.bench.limit_s - max((step.end_s for step in steps), default=0.0)
    least_s = LEAST_PART_S if steps else 0.0
    whole_s = plan.slow * plan.bench.stage_s(piece.job)[stage]
    if left_s < least_s or stage not in IN_PARTS:
        return plan
    upto, found = HANDS_ON[: HANDS_ON.index(stage) + 1], plan
    low, high = 0.0, min(0.99, 2 * left_s / whole_s)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        better = plan.and_with(piece, upto, middle).harmless(plan)
        low, high = (low, middle) if better is None else (middle, high)
        found = better or found
    worth = low * whole_s >= least_s and low * plan.bench.units(piece.name, stage) >= 1
    return found if worth else plan


def _to_the_end(plan: Plan, pieces: Sequence[PieceAhead]) -> Plan:
    """Give the time that is left to a part of the next stage in turn."""
    failed = set[PieceAhead]()
    for piece in pieces:
        following, kind = plan.next_stage(piece), replace(piece, name="")
        if following is not None and kind not in failed:
            tried = _with_part(plan, piece, following)
            if tried is not plan:
                return tried
            failed.add(kind)
    return plan


def _one_more(bench: Bench, finished: Sequence[str], pieces: Sequence[PieceAhead]) -> float | None:
    """The chance that the next piece in turn would be finished too, if nothing else is done."""
    plan = Plan(bench, dict.fromkeys(finished, HANDS_ON))
    following = next((piece for piece in pieces if piece.name not in finished), None)
    return None if following is None else plan.and_with(following, HANDS_ON).chance()
