"""The answer of `weights`: the counterweight of a pattern worked up, over the whole piece."""

from __future__ import annotations

from collections.abc import Sequence

from bench.answers.weights import WeightChangeLine, WeightsAnswer
from bench.craft.weight_plan import StandWeights, WeightPlan, core_mass_g, weigh
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern, halts_of, stand_weights_of


def weights_answer(
    made: WorkedPattern,
    settings: Settings,
    *,
    tama_g: Sequence[float] | None = None,
    fraction: float | None = None,
    weights_g: Sequence[float] | None = None,
    point: tuple[str, int] | None = None,
) -> WeightsAnswer:
    """What `weights` says. One tama weight counts for all strands; None: as set.

    `point` is what the maker sees at the point of braiding, "high" or "low", and the crosses
    made. Raises ValueError for weights or a fraction that cannot be.
    """
    usual = stand_weights_of(settings, made.plan.strands)
    tama = usual.tama_g if tama_g is None else tuple(tama_g)
    hanging = StandWeights(
        tama * made.plan.strands if len(tama) == 1 else tama,
        usual.weights_g if weights_g is None else tuple(weights_g),
        usual.fraction if fraction is None else fraction,
        usual.bag_g,
    )
    found = weigh(made.plan, made.masses_g, hanging, halts_of(made.marks))
    least, most = found.shares
    return WeightsAnswer(
        warnings=found.warnings,
        pattern=made.name,
        fraction=hanging.fraction,
        start_g=round(found.start_g, 1),
        end_g=round(found.end_g, 1),
        hang_g=tuple(round(grams, 2) for grams in found.hang_g),
        core_g=round(core_mass_g(made.plan, made.masses_g), 2),
        bag_g=hanging.bag_g,
        least_share=round(least, 3),
        most_share=round(most, 3),
        says=found.says,
        schedule=tuple(
            WeightChangeLine(
                cross=step.cross,
                counterweight_g=round(step.counterweight_g, 1),
                take_off_g=step.take_off_g,
                add_g=step.add_g,
            )
            for step in found.steps
        ),
        point=_point(found, *point) if point is not None else None,
    )


def _point(weighing: WeightPlan, seen: str, crosses_made: int) -> str:
    """What to do about a point of braiding that lies too high or too low, in grams."""
    if seen == "level":
        return "leave the weight as it is"
    nudge = weighing.nudge("high" if seen == "high" else "low", crosses_made)
    return f"{nudge.says} ({nudge.rests_on})"
