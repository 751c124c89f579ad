"""What hangs on the stand after a slip, against a stand of queues that is walked cross by cross."""

from __future__ import annotations

import random

import pytest

from bench.slips.planned_stand import REACH, PlannedStand
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import Slip, Suspect
from bench.slips.words import slips_words
from tests.support.slips_makers import DROPS, KINDS, Hands, plant, random_plan, shipped


@pytest.mark.parametrize("kind", KINDS)
def test_sights_are_what_hands_make(kind: Slip) -> None:
    """For every kind of slip, beads to come and marks in the braid are as on the walked stand."""
    rng, compared = random.Random(7), 0
    while compared < 25:
        plan = shipped(rng.choice(DROPS)) if rng.random() < 0.3 else random_plan(rng)
        slip, made = plant(plan, kind, rng), rng.randint(0, plan.crosses)
        if slip is None:
            continue
        counted = slip.shift if kind != "turned" else None
        early = made < (slip.at or 0) + 4
        if counted and (early or not 0 <= made - counted <= plan.crosses):
            continue
        hands, scene = Hands(plan, (slip,)), PlannedStand(plan, made)
        hands.count(made)
        sight = SupposedStand(scene, (slip,)).sight()
        for place in range(1, plan.strands + 1):
            assert sight.ahead.get(place, scene.ahead[place]) == hands.ahead(place)[:REACH]
            assert sight.braid.get(place, "nothing") == hands.in_braid(place, made)
        compared += 1


def test_two_slips_together_are_what_hands_make() -> None:
    """A missing bead and another strand's bead not brought in, both at once."""
    rng, compared = random.Random(3), 0
    while compared < 25:
        plan = random_plan(rng)
        one, two = plant(plan, "missing", rng), plant(plan, "not_brought_in", rng)
        if one is None or two is None or one.strand == two.strand:
            continue
        made = rng.randint(0, plan.crosses)
        hands, scene = Hands(plan, (one, two)), PlannedStand(plan, made)
        hands.count(made)
        sight = SupposedStand(scene, (one, two)).sight()
        for place in range(1, plan.strands + 1):
            assert sight.ahead.get(place, scene.ahead[place]) == hands.ahead(place)[:REACH]
        compared += 1


def test_moves_without_a_bead_are_no_beads() -> None:
    """After a mend that skips once, the beads seen and used are those on the thread."""
    plan = shipped("silver-eaves")
    made = 36
    skipped = plan.with_load(2, made, "-" + plan.remaining(2, made))
    scene = PlannedStand(skipped, made + 8)
    place = skipped.place_of(2, made + 8)
    assert scene.ahead[place] == skipped.remaining(2, made + 8)[:REACH]
    assert scene.counts[1] == skipped.used(2, made + 8) - 1


def test_two_groups_are_swapped_whole() -> None:
    """Two neighbouring runs of beads the wrong way round: all of one hang before the other."""
    plan = shipped("gutter-pearl")
    scene = PlannedStand(plan, 4)
    slip = Suspect("swapped", 1, None, "b", "c", 3, 7, index=2)
    assert plan.loads[0][:8] == "aabbcccd"
    assert SupposedStand(scene, (slip,)).strung(1)[:8] == "aacccbbd"
    assert "2 b and 3 c were strung the wrong way round" in slips_words((slip,), plan, 4)


def test_it_is_told_whether_a_run_is_braided() -> None:
    """One bead too few in a run that is through lies in the braid; one too many may hang next."""
    plan = shipped("gutter-pearl")
    made = plan.cross_of(1, 6)
    missing = Suspect("missing", 1, None, "c", None, 5, 7, index=6)
    extra = Suspect("extra", 1, None, "c", "c", 5, 7, index=6)
    later = plan.cross_of(1, 7)
    told = [slips_words((s,), plan, at) for s in (missing, extra) for at in (made - 1, made, later)]
    braided = ["in what is braided" in text for text in told]
    assert braided == [False, True, True, False, False, True]
