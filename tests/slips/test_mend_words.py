"""What mends say: cautions, what will be seen, and what is not worth doing."""

from __future__ import annotations

import random
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from bench.journal.store import Journal
from bench.making.mending import carry_out
from bench.slips.mend_steps import SewIn, TakeBack
from bench.slips.mend_words import breaking_words
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import Slip, Suspect
from tests.slips.test_mends import begin, located
from tests.support.clock import ManualClock
from tests.support.slips_makers import DROPS, KINDS, plant, shipped


@pytest.mark.parametrize("kind", KINDS)
def test_every_mend_carries_its_caution(kind: Slip) -> None:
    """Breaking asks for goggles, unhitching for the stick first, sewing to count the needle."""
    rng, words = random.Random(8), {
        "break ": "Goggles on", "strip": "Stick in first", "string": "Stick in first",
        "swap": "Stick in first", "hang the tama": "Stick in first",
        "sew ": "Count the needle", "take back": "Ease the weight",
    }  # fmt: skip
    met = set()
    for _ in range(20):
        plan = shipped(rng.choice(DROPS))
        slip = plant(plan, kind, rng)
        if slip is None:
            continue
        made = min(plan.last_bead_cross, (slip.at or 0) + rng.randint(0, 9))
        for mend in mends(PlannedStand(plan, made), (located(plan, slip),)):
            for what, caution in words.items():
                if what in mend.do.lower():
                    assert caution in mend.caution, mend
                    met.add(what)
    assert met or kind in ("count_off", "round_off")


def test_a_bead_too_many_is_broken_before_anything_is_taken_back() -> None:
    """Where the braid is right so far, breaking the bead comes first and leaves nothing to see."""
    rng, met = random.Random(20), 0
    for _ in range(60):
        plan = shipped(rng.choice(DROPS))
        slip = plant(plan, "extra", rng)
        assert slip is not None
        made = rng.randint(0, plan.last_bead_cross)
        scene = PlannedStand(plan, made)
        best = mends(scene, (located(plan, slip),))[0]
        if SupposedStand(scene, (slip,)).irregularities() or not best.seconds:
            continue
        assert "break one bead" in best.do
        assert best.shows == "nothing"
        met += 1
    assert met > 10


def test_what_two_slips_leave_in_the_braid_is_told() -> None:
    """Two gaps are not mended by stringing anew: each is to be sewn, or the crosses taken back."""
    plan = shipped("gutter-pearl")
    at = 31
    slips = tuple(
        located(plan, Suspect("not_brought_in", move.strand, at=at))
        for move in plan.step(at).carried
    )
    ways = mends(PlannedStand(plan, at + 1), slips)
    assert ways[0].do == "Take back 2 crosses, then make them again as planned."
    for way in ways:
        sewn = {(e.strand, e.cross) for e in way.effects if isinstance(e, SewIn)}
        back = any(isinstance(e, TakeBack) for e in way.effects)
        assert back or way.do.startswith("Carry on") or sewn == {(s.strand, at) for s in slips}


def test_beads_over_at_a_free_end_are_left() -> None:
    """One bead too many behind all planned ones is not broken: it never comes in."""
    plan = shipped("gutter-pearl")
    load = plan.loads[0]
    slip = Suspect("extra", 1, None, load[-1], load[-1], index=len(load))
    best = mends(PlannedStand(plan, 40), (slip,))[0]
    assert (best.seconds, best.effects, best.shows) == (0.0, (), "nothing")
    assert "stays over at the free end" in best.do


@pytest.mark.parametrize("kind", KINDS)
def test_no_mend_asks_for_nothing(kind: Slip) -> None:
    """Where all of a slip is braided no strand is strung anew; every mend names its place."""
    rng = random.Random(3)
    for _ in range(20):
        plan = shipped(rng.choice(DROPS))
        slip = plant(plan, kind, rng)
        if slip is None:
            continue
        made = rng.randint(min(slip.at or 0, plan.last_bead_cross), plan.crosses)
        for mend in mends(PlannedStand(plan, made), (located(plan, slip),)):
            assert ": ." not in mend.do
            assert not mend.do.startswith("Strip") or mend.string


def test_a_strand_that_ran_out_gets_its_bead_from_here_on() -> None:
    """A bead over when all is made comes in at its strand's next move, not where it was due."""
    plan = shipped("gutter-pearl")
    slip = located(plan, Suspect("not_brought_in", 1, at=plan.cross_of(1, 15)))
    stay = next(m for m in mends(PlannedStand(plan, 76), (slip,)) if m.do.startswith("Carry on"))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "journal.db"
        with Journal.open(path, write=True, clock=ManualClock()) as journal:
            braid = begin(journal, "gutter-pearl", 76)
            carry_out(braid, stay, (slip,), 0.9)
            assert braid.plan.remaining(1, 76) == plan.loads[0][-1]
            for _ in range(20):
                braid.take_back()
            assert braid.plan.remaining(1, 56).replace("-", "") == plan.remaining(1, 56)


def test_what_is_done_by_hand_now_is_told_from_what_is_due_later() -> None:
    """A bead broken now is done by hand; one that hangs behind others is due with its cross."""
    plan = shipped("gutter-pearl")
    made = plan.cross_of(1, 4)
    now, later = (
        next(m for m in mends(PlannedStand(plan, made), (slip,)) if "break" in m.do)
        for slip in (
            Suspect("extra", 1, None, "c", "a", 6, 6, index=5),
            Suspect("extra", 1, None, "d", "a", 8, 8, index=7),
        )
    )
    assert (now.by_hand, now.later) == (True, ())
    assert [step.kind for step in now.steps] == ["break_bead"]
    assert not later.by_hand
    assert [step.due for step in later.later] == [(1, plan.cross_of(1, 7))]
    assert breaking_words(later.later[0]) == "break one bead a"
