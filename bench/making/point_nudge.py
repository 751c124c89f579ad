"""The point of braiding: what to change where the maker sees it too high or too low."""

from __future__ import annotations

from bench.craft.counterweight import Nudge
from bench.craft.weight_plan import WeightPlan
from bench.journal.payloads import Crossed, PlaceSet, PointSeen, TakenBack
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern


def point_nudge(braid: Braid, made: WorkedPattern, seen: str) -> Nudge | None:
    """What to change when the point of braiding is seen "high" or "low"; None when it is level.

    What was said to earlier looks is taken as done, and hangs until the weight is changed as
    planned, which makes it up anew. Raises ValueError where tama or weights do not go with the
    pattern.
    """
    weighing = made.weighing
    if weighing is None:
        raise ValueError(
            f"Your tama or weights do not go with {made.plan.strands} strands: set them in"
            " settings.toml under [stand]; until then a tenth more or less is a fair try."
        )
    crosses, hung = 0, weighing.steps[0].weights_g
    for event in braid.journal.events(braid.piece):
        said = event.payload
        if isinstance(said, Crossed | TakenBack | PlaceSet):
            before, crosses = crosses, said.to
            planned = weighing.step_after(crosses)
            hung = hung if weighing.step_after(before) == planned else planned.weights_g
        elif isinstance(said, PointSeen):
            earlier = _nudge(weighing, said.at, crosses, hung)
            hung = hung if earlier is None else earlier.weights_g
    return _nudge(weighing, seen, braid.made, hung)


def _nudge(
    weighing: WeightPlan, seen: str, crosses: int, hung_g: tuple[float, ...]
) -> Nudge | None:
    if seen == "level":
        return None
    return weighing.nudge("high" if seen == "high" else "low", crosses, hung_g)
