"""What offered glances and counts find of missing and extra beads, for the seconds they ask."""

from __future__ import annotations

import random

from bench.craft.plan import Plan
from bench.slips.likeness import Likeness
from bench.slips.looks import Look, predicted
from bench.slips.offered_looks import Frequency, offers
from bench.slips.planned_stand import PlannedStand
from bench.slips.supposed_stand import Sight
from bench.slips.suspect import Suspect
from tests.support.slips_makers import Hands, plant, shipped

ATTENTION = 0.8
"""A maker who is offered a glance really looks so often; a count is always made."""


def checked(
    names: tuple[str, ...], frequency: Frequency, count: int, seed: int
) -> tuple[float, float]:
    """Share of missing and extra beads that offered looks find before they would show.

    Also the mean seconds that a whole flawless piece is asked for.
    """
    rng = random.Random(seed)
    plans = {name: shipped(name) for name in names}
    offered = {name: offers(plan, frequency) for name, plan in plans.items()}
    asked = sum(look.seconds for looks in offered.values() for look in looks.values())
    found = 0
    for _ in range(count):
        name = rng.choice(names)
        plan = plans[name]
        likeness = Likeness(plan.pattern)
        slip = plant(plan, rng.choice(("missing", "extra")), rng)
        assert slip is not None
        found += found_early(plan, likeness, slip, offered[name], rng)
    return found / count, asked / len(names)


def found_early(
    plan: Plan, likeness: Likeness, slip: Suspect, offered: dict[int, Look], rng: random.Random
) -> bool:
    """Whether an offered look finds a slip before a wrong bead would come in."""
    hands = Hands(plan, (slip,))
    for made in range(plan.crosses):
        hands.count(made)
        step = plan.step(made + 1)
        if any(
            hands.ahead(m.transfer.start)[:1] != plan.remaining(m.strand, made)[:1]
            for m in step.carried
        ):
            return False
        look = offered.get(made)
        if look is None:
            continue
        scene = PlannedStand(plan, made)
        if look.kind == "left":
            planned = predicted(look, Sight({}, {}), scene)
            if hands.right_answer(look, made) != planned:
                return True
        elif rng.random() < ATTENTION:
            for place in range(1, plan.strands + 1):
                planned_bead = scene.ahead[place][:1] or None
                saw = hands.ahead(place)[:1] or None
                if saw != planned_bead and rng.random() > likeness.overlooked(planned_bead, saw):
                    return True
    return False


CURVE = (
    Frequency("never", 1, 8),
    Frequency("at changes", 1, 0),
    Frequency("before and at changes", 3, 0),
    Frequency("before and at changes", 1, 0),
    Frequency("before and at changes", 1, 8),
    Frequency("before and at changes", 1, 4),
    Frequency("before and at changes", 1, 2),
)
