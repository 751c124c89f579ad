"""What is said to be likely is so, in worlds of known kinds and of kinds that no list has."""

from __future__ import annotations

import random

import pytest

from bench.slips.before_mending import COSTLY_S
from bench.slips.evidence import Observation
from bench.slips.inquiry import Inquiry
from bench.slips.looks import THIS, Look, predicted
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.priors import Priors
from bench.slips.slip_pairs import pairs_of
from bench.slips.supposed_stand import Sight
from bench.slips.suspect import Suspect
from tests.speed.slips_calibration import Ended, ended
from tests.support.slips_makers import Hands, shipped
from tests.support.slips_worlds import WORLDS, World, world

from .test_inquiry import ask_on, inquiry_at, on_top


def talks(kind: str, many: int, wrong: float = 0.0) -> list[Ended]:
    """So many talks about worlds of a kind."""
    return [ended(kind, f"7 {kind} {n}", wrong) for n in range(many)]


@pytest.mark.parametrize("wrong", [0.0, 0.05])
def test_what_is_said_above_nine_in_ten_is_right(wrong: float) -> None:
    """Above 0.9 what is on top is right as often as said, also with one answer in twenty wrong.

    By a few worlds a kind; tests.speed.slips_calibration has a thousand of each.
    """
    found = [one for kind in WORLDS for one in talks(kind, 4, wrong)]
    sure = [one for one in found if one.chance > 0.9 and one.top != "other"]
    assert len(sure) > 0.8 * len(found)
    stated = sum(one.chance for one in sure)
    variance = sum(one.chance * (1 - one.chance) for one in sure)
    assert sum(one.right for one in sure) >= stated - 3 * variance**0.5


def test_a_count_is_said_surely_only_once_the_piece_is_known() -> None:
    """What a wrong count shows, a piece of the same lot shows too: until told, it is a doubt."""
    found = 0
    for number in range(8):
        planted = world("count_off", random.Random(f"lot {number}"))
        inquiry = inquiry_at(planted.plan, planted.made)
        inquiry.report(planted.place, planted.saw)
        while inquiry.look is not None and inquiry.look.kind != "piece":
            inquiry.answer(inquiry.look, planted.hands.right_answer(inquiry.look, planted.made))
        top = inquiry.classes[0]
        if inquiry.look is not None and top.slip == "count_off":
            assert top.chance < 0.99
            inquiry.answer(inquiry.look, THIS)
            assert inquiry.classes[0].chance > top.chance
            found += 1
    assert found >= 4


def test_one_look_again_is_no_certainty_of_a_misreading() -> None:
    """A report that the second look takes back is said to be one misread, but not surely."""
    plan = shipped("cistern")
    made = plan.cross_of(3, 6) - 1
    inquiry, place = inquiry_at(plan, made), plan.place_of(3, made)
    inquiry.report(place, "e")
    inquiry.answer(Look("next", 3, place, 2.0), "d")
    assert inquiry.classes[0].slip == "misread"
    assert 0.5 < inquiry.classes[0].chance < 0.7


def test_two_slips_at_once_are_likelier_than_by_themselves() -> None:
    """One slip makes a second likelier: both are weighed together, not as two that never met."""
    one, two = Suspect("missing", 3, bead="d", first=1, last=2), Suspect("count_off", shift=1)
    ((first, second, odds),) = pairs_of([one, two], {one: 0.01, two: 0.02}, Priors().together)
    assert (first, second) == (one, two)
    assert odds > 0.01 * 0.02


def test_a_count_off_by_many_rows_is_found() -> None:
    """A count up to six rows off is on top, or what no list knows; never anything else."""
    found = talks("count_far", 25)
    assert all(one.right for one in found)
    assert sum(one.top == "count_off" for one in found) >= 20


@pytest.mark.parametrize("kind", ["run_from_wrong_tray", "letter_from_wrong_tray"])
def test_beads_from_a_wrong_tray_are_found(kind: str) -> None:
    """A run of them, all of a bead on a strand, or on all: named so, or no other strand."""
    found = talks(kind, 15)
    assert sum(one.right for one in found) >= 14
    assert sum("wrong_tray" in one.top for one in found) >= 9


def test_a_wrong_tray_is_mended_on_its_strand_alone() -> None:
    """Before a mend is told another strand is looked at, and the mend touches the one strand."""
    plan = shipped("cistern")
    hands = Hands(plan, ())
    hands.beads[3] = ["e" if bead == "d" else bead for bead in hands.beads[3]]
    made = plan.cross_of(3, 6) - 1
    hands.count(made)
    inquiry = inquiry_at(plan, made)
    place = plan.place_of(3, made)
    inquiry.report(place, "e")
    ask_on(inquiry, hands)
    assert on_top(inquiry, Suspect("wrong_tray", 3, None, "d", "e", 7, 10, index=6))
    asked = [one.look for one in inquiry.evidence if one.asked]
    assert any(look.kind == "glance" or look.place != place for look in asked)
    ways = mends(inquiry.planned, inquiry.classes[0].first.slips)
    assert {strand for way in ways for strand, _ in way.string} == {3}


def test_a_mend_that_costs_minutes_waits_for_a_look_elsewhere() -> None:
    """Told apart by looks at one strand alone, a costly mend needs an answer from elsewhere."""
    waited = 0
    for number in (3, 8, 10, 12):
        planted = world("not_brought_in", random.Random(f"elsewhere {number}"))
        inquiry = inquiry_at(planted.plan, planted.made)
        if planted.in_braid is not None:
            inquiry.report_braid(planted.place, planted.in_braid)
        else:
            inquiry.report(planted.place, planted.saw)
        while inquiry.look is not None:
            top, look = inquiry.classes[0], inquiry.look
            if inquiry.confirming and top.slip == "not_brought_in":
                assert mends(inquiry.planned, top.first.slips)[0].seconds >= COSTLY_S
                assert look.kind == "glance" or look.place != planted.place
                waited += 1
            inquiry.answer(look, planted.hands.right_answer(look, planted.made))
        assert inquiry.clear
    assert waited >= 2


def test_two_strands_exchanged_are_named_so() -> None:
    """Where looks cannot tell it from two threads exchanged, the lesser slip is named first."""
    found = talks("strands_exchanged", 30)
    assert sum(one.named for one in found) >= 0.6 * len(found)


def test_all_loads_turned_does_not_lead_for_one_odd_strand() -> None:
    """One strand's other bead, reported, is hardly ever all loads turned by one place."""
    plan = shipped("cistern")
    made = plan.cross_of(3, 6) - 1
    inquiry = inquiry_at(plan, made)
    inquiry.report(plan.place_of(3, made), "e")
    turned = sum(h.chance for h in inquiry.hypotheses if h.slips[0].slip == "turned")
    assert turned < 0.2


@pytest.mark.parametrize("shift", [-2, -1, 2])
def test_one_glance_sets_no_count(shift: int) -> None:
    """A count is told only after two answers that the plan would not give; one never settles it."""
    plan, told = shipped("gutter-pearl"), []
    for made in range(12, plan.last_bead_cross - 4):
        hands = Hands(plan, (Suspect("count_off", shift=shift, at=1),))
        hands.count(made)
        for move in plan.step(made + 1).carried:
            place = move.transfer.start
            saw = hands.ahead(place)[:1] or None
            if saw == (plan.remaining(move.strand, made)[:1] or None):
                continue
            inquiry = inquiry_at(plan, made)
            inquiry.report(place, saw)
            ask_on(inquiry, hands)
            if inquiry.clear and inquiry.classes[0].first.slips[0].slip == "count_off":
                asked = [o for o in inquiry.evidence if o.asked and o.look.kind != "piece"]
                told.append(sum(unlike_the_plan(inquiry, one) for one in asked))
    assert len(told) > 8
    assert min(told) >= 2


def unlike_the_plan(inquiry: Inquiry, one: Observation) -> bool:
    """Whether an answer is another one than what hangs there if all is as counted."""
    return predicted(one.look, Sight({}, {}), inquiry.planned) != one.answer


def test_a_miscounted_glance_sets_no_count() -> None:
    """With the first glance wrong by one and all else true, no faultless count is set by it."""
    settled = 0
    for number in range(40):
        made_up = world("missing", random.Random(f"glance {number}"))
        inquiry = _asked_to_the_end(made_up, miscounted=1 if number % 2 else -1)
        if inquiry.clear and inquiry.classes[0].first.slips[0].slip == "count_off":
            asked = [o for o in inquiry.evidence if o.asked and o.look.kind != "piece"]
            assert sum(unlike_the_plan(inquiry, one) for one in asked) >= 2
        settled += inquiry.clear
    assert settled > 20


def test_a_miscounted_glance_does_not_decide_alone() -> None:
    """One glance that is wrong by one leaves the true suspect likely enough to be found yet."""
    found = [one for kind in ("missing", "extra", "count_off") for one in talks(kind, 10, 0.05)]
    assert sum(one.right for one in found) >= 26


def test_told_apart_and_asked_out_are_two_things() -> None:
    """Told apart: the first suspect alone is clear. Asked out: nothing more to ask, and none is."""
    settled = asked_out = 0
    for kind in ("missing", "extra", "count_off"):
        for number in range(8):
            inquiry = _asked_to_the_end(world(kind, random.Random(f"{kind} {number}")))
            assert inquiry.look is None
            assert inquiry.asked_out != inquiry.settled
            first, *others = inquiry.classes[0].members
            if inquiry.settled:
                assert first.chance > 5 * sum(other.chance for other in others)
            elif inquiry.clear:
                assert others
            settled, asked_out = settled + inquiry.settled, asked_out + inquiry.asked_out
    assert settled
    assert asked_out


def test_a_strand_read_off_says_what_is_wrong_with_it() -> None:
    """Where looks do not tell, a strand read off in the talk leads to that strand alone."""
    read = 0
    for number in range(30):
        planted = world("beads_short", random.Random(f"short {number}"))
        inquiry = _asked_to_the_end(planted)
        if any(one.look.kind == "read" for one in inquiry.evidence):
            top = inquiry.classes[0]
            assert top.sight is None or {s.strand for s in top.first.slips} == planted.faulty
            read += 1
    assert read


def test_a_strand_read_off_bead_by_bead_goes_on_to_be_paired() -> None:
    """What was read off and fits no single slip breaks nothing, whatever is answered after it."""
    plan = shipped("silver-eaves")
    made = plan.cross_of(3, 4) - 1
    place = plan.place_of(3, made)
    for beads in ("", "d", "abcd", "bbcccdddccba", "bcccddccba", "ddddddddddddd", "?bccc"):
        inquiry = inquiry_at(plan, made)
        inquiry.report(place, beads[:1] or None)
        inquiry.answer(Look("read", 3, place, 20.0), beads)
        inquiry.answer(Look("next", plan.arrangement(made)[0], 1, 2.0), "d")
        inquiry.answer(Look("glance", 3, place, 3.0, "b"), 3)
        assert sum(each.chance for each in inquiry.hypotheses) == pytest.approx(1)


def _asked_to_the_end(planted: World, miscounted: int = 0) -> Inquiry:
    """The inquiry about a world once all that is asked is answered as it truly is.

    miscounted: how far off the answer to the first glance is.
    """
    inquiry = inquiry_at(planted.plan, planted.made)
    if planted.in_braid is not None:
        inquiry.report_braid(planted.place, planted.in_braid)
    else:
        inquiry.report(planted.place, planted.saw)
    while miscounted and inquiry.look is not None and inquiry.look.kind != "glance":
        inquiry.answer(inquiry.look, planted.hands.right_answer(inquiry.look, planted.made))
    if miscounted and inquiry.look is not None:
        right = planted.hands.right_answer(inquiry.look, planted.made)
        assert isinstance(right, int)
        inquiry.answer(inquiry.look, max(0, right + miscounted))
    return ask_on(inquiry, planted.hands, 20)


def test_a_cross_made_twice_is_taken_back_to_its_pair() -> None:
    """A cross made again in place of its pair: the count is right, and the mend says what comes."""
    plan = shipped("gutter-pearl")
    ways = mends(PlannedStand(plan, 23), (Suspect("cross_twice", at=20),))
    assert [way.steps[0].kind for way in ways] == ["take_back"]
    assert ways[0].steps[0].crosses == 3
    assert f"Then make {plan.step(21).call} and go on" in ways[0].do
