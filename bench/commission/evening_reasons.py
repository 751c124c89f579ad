"""Why an evening takes a piece before its turn, or does nothing at all."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.stages import HANDS_ON, HandsOn
from bench.craft.words import STAGES_DOING, clock
from bench.pace.evening_plan import PieceAhead, ScheduledStage
from bench.pace.model import Model
from bench.pace.predictive import by_stage
from bench.pace.what_fits import LEAST_PART_S


def why_before_its_turn(steps: Sequence[ScheduledStage], ahead: Sequence[PieceAhead]) -> list[str]:
    """For each step why it comes before another lot's whose turn it is; "" where it does not.

    ahead: the pieces in their turn. Said once of a piece, at its first step.
    """
    place = {piece.name: n for n, piece in enumerate(ahead)}
    done: dict[str, list[ScheduledStage]] = {}
    found = list[str]()
    for step in steps:
        own, said = ahead[place[step.name]], ""
        if step.name not in done:
            earlier = (p for p in ahead[: place[own.name]] if p.lot != own.lot)
            waits = ((p, _next_stage(p, done.get(p.name, ()))) for p in earlier)
            first = next(((p, stage) for p, stage in waits if stage is not None), None)
            said = "" if first is None else _why(step, own, *first, steps)
        done.setdefault(step.name, []).append(step)
        found.append(said)
    return found


def _next_stage(piece: PieceAhead, done: Sequence[ScheduledStage]) -> HandsOn | None:
    """The first stage of a piece that has some work and is not done; None if there is none.

    A stage that is done in part goes on another evening.
    """
    if any(step.part is not None for step in done):
        return None
    shares, known = dict(piece.job.shares), [step.stage for step in done]
    return next((s for s in HANDS_ON if shares.get(s, 0.0) > 0 and s not in known), None)


def _why(
    step: ScheduledStage,
    own: PieceAhead,
    waits: PieceAhead,
    stage: HandsOn,
    steps: Sequence[ScheduledStage],
) -> str:
    if own.on_stand:
        return "it lies on the stand"
    if stage == "finish":
        if step.start_s < _dry_s(waits, steps):
            return f"while {waits.name} dries"
        dressed = [s.start_s for s in steps if s.name == waits.name and s.stage == "finish"]
        if dressed and dressed[0] < _dry_s(own, steps):
            return f"{waits.name} is dressed while this dries"
        return f"{waits.name} is dressed after it"
    if stage == "set_up":
        return f"no stand is free for {waits.name}"
    return f"{waits.name} takes longer than is left"


def _dry_s(piece: PieceAhead, steps: Sequence[ScheduledStage]) -> float:
    """Seconds from now until a piece is dry, braided before or tonight; 0 where it is neither."""
    braided = [s.end_s for s in steps if s.name == piece.name and s.stage == "braid"]
    return braided[0] + piece.dry_s if braided else piece.drying_s or 0.0


def why_left_over(
    steps: Sequence[ScheduledStage],
    ahead: Sequence[PieceAhead],
    left_s: float,
    waits: Sequence[str],
) -> str:
    """Why nothing is done in the seconds after the last step.

    waits: names of lots of which nothing more is begun before their sample is signed off.
    """
    done: dict[str, list[ScheduledStage]] = {}
    for step in steps:
        done.setdefault(step.name, []).append(step)
    following = {_next_stage(piece, done.get(piece.name, ())) for piece in ahead} - {None}
    if not following:
        return _held(waits) or "nothing more is to be made"
    if following == {"finish"}:
        return f"what is begun dries; {_held(waits)}" if waits else "what is begun dries"
    if following <= {"finish", "set_up"} and left_s >= LEAST_PART_S:
        return "no stand is free for what is left"
    return "no further stage is sure to be done whole in that"


def _held(waits: Sequence[str]) -> str:
    if not waits:
        return ""
    names = " and ".join(filter(None, (", ".join(waits[:-1]), waits[-1])))
    its = "its sample" if len(waits) == 1 else "their samples"
    return f"what else there is of {names} waits for the sign-off of {its}"


def why_nothing(
    ahead: Sequence[PieceAhead], model: Model, seconds: float, waits: Sequence[str]
) -> str:
    """Why nothing can be done in so many seconds; `waits` as in `why_left_over`."""
    dressed = [p for p in ahead if _next_stage(p, ()) == "finish"]
    dry = [p for p in dressed if (p.drying_s or 0.0) < seconds]
    if dry:
        longest = by_stage(model, dry[0].job)["finish"].quantile(0.8) + (dry[0].drying_s or 0.0)
        return (
            f"{STAGES_DOING['finish']} {dry[0].name} takes until {clock(round(longest / 60))}"
            " with 8 in 10, and is not left half done"
        )
    if dressed:
        return f"{dressed[0].name} dries for {clock(round((dressed[0].drying_s or 0.0) / 60))} yet"
    if waits:
        return _held(waits)
    return "no stand is free"
