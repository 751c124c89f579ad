"""What is asked and believed from one look to the next."""

from __future__ import annotations

import random

import pytest

from bench.craft.plan import Plan
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.looks import THIS, Answer
from bench.slips.maker import Maker
from bench.slips.planned_stand import PlannedStand
from bench.slips.priors import RATES, Priors
from bench.slips.supposed_stand import SupposedStand
from bench.slips.suspect import Slip, Suspect
from tests.support.slips_makers import DROPS, Hands, plant, random_plan, shipped
from tests.support.slips_walker import notice


def inquiry_at(plan: Plan, made: int) -> Inquiry:
    """An inquiry about a piece with so many crosses made."""
    return Inquiry(plan, made, Likeness(plan.pattern))


def ask_on(inquiry: Inquiry, hands: Hands, most: int = 12) -> Inquiry:
    """Answer looks as they truly are until none is asked."""
    made = inquiry.planned.made
    for _ in range(most):
        if inquiry.look is None:
            break
        inquiry.answer(inquiry.look, hands.right_answer(inquiry.look, made))
    return inquiry


def on_top(inquiry: Inquiry, *slips: Suspect) -> bool:
    """Whether what leads looks as these slips do."""
    top = inquiry.classes[0].sight
    truth = SupposedStand(inquiry.planned, slips).sight()
    return top is not None and top.signature(inquiry.planned) == truth.signature(inquiry.planned)


@pytest.mark.parametrize(("kind", "least"), [("missing", 0.9), ("extra", 0.7)])
def test_two_beads_of_one_run_are_found(kind: Slip, least: float) -> None:
    """Two beads too few, or too many, in one run of equal ones are found as such, or nearly always.

    Two too many can hang as other slips would have them, for all that looks tell.
    """
    plan, found, tried = shipped("gutter-pearl"), 0, 0
    for strand in range(1, 9):
        for index in (5, 8):
            bead = plan.loads[strand - 1][index]
            one = Suspect(kind, strand, None, bead, bead if kind == "extra" else None, index=index)
            hands = Hands(plan, (one, one))
            noticed = notice(plan, hands)
            assert noticed is not None
            inquiry = inquiry_at(plan, noticed.made)
            inquiry.report(noticed.place, noticed.saw)
            found += on_top(ask_on(inquiry, hands), one, one)
            tried += 1
    assert found >= least * tried


@pytest.mark.parametrize(
    ("kind", "sees"),
    [("not_brought_in", "gap"), ("two_brought_in", "proud"), ("not_tucked", "proud")],
)
def test_what_was_told_a_row_ago_still_counts(kind: Slip, sees: str) -> None:
    """A true report, told when it happened and again a row later, leads to the run where it was."""
    plan, right = shipped("gutter-pearl"), 0
    spots = [(strand, index) for strand in range(1, 9) for index in (4, 5, 6)]
    for strand, index in spots:
        at = plan.cross_of(strand, index)
        slip = Suspect(kind, strand, at=at)
        hands = Hands(plan, (slip,))
        hands.count(at)
        early = inquiry_at(plan, at)
        early.report_braid(plan.place_of(strand, at), sees)
        made = at + plan.row_length
        hands.count(made)
        inquiry = early.at(made)
        inquiry.report_braid(hands.at.index(strand) + 1, sees)
        (found, *_) = ask_on(inquiry, hands).classes[0].first.slips
        run = (found.first or 0) - 1 <= index <= (found.last or 0) - 1
        right += run and (found.slip, found.strand) == (kind, strand)
    assert right >= 0.95 * len(spots)


def test_nothing_is_asked_that_was_just_told() -> None:
    """A bead that was named is not asked for among the next three, nor what those tell already."""
    rng, asked = random.Random(5), 0
    for _ in range(60):
        plan = shipped(rng.choice(DROPS)) if rng.random() < 0.5 else random_plan(rng)
        slip = plant(plan, rng.choice(("missing", "extra", "swapped", "wrong")), rng)
        if slip is None or (noticed := notice(plan, hands := Hands(plan, (slip,)))) is None:
            continue
        inquiry = inquiry_at(plan, noticed.made)
        named: dict[int, str | None] = {}
        if noticed.in_braid is None:
            inquiry.report(noticed.place, noticed.saw)
            named[noticed.place] = noticed.saw
        three: dict[int, str] = {}
        for _ in range(12):
            look = inquiry.look
            if look is None:
                break
            answer = hands.right_answer(look, noticed.made)
            told = three.get(look.place)
            if look.kind == "next3":
                assert look.bead == named.get(look.place)
                assert look.place not in named or look.bead is not None
                three[look.place] = (look.bead or "") + str(answer)
                asked += look.bead is not None
            elif told is not None:
                assert look.kind != "next" or look.place in named
                assert look.kind != "left" or (len(told) >= 3 and len(set(told)) == 1)
            elif look.kind == "next" and not isinstance(answer, int):
                named[look.place] = answer
            inquiry.answer(look, answer)
    assert asked > 5


def test_a_bead_of_no_load_is_settled() -> None:
    """A foreign bead that was seen twice is the slip, though the unknown is thought likelier."""
    plan = shipped("gutter-pearl")
    strand = plan.step(51).carried[0].strand
    index = PlannedStand(plan, 50).counts[strand - 1]
    slip = Suspect("wrong", strand, None, plan.loads[strand - 1][index], "?", index=index)
    hands = Hands(plan, (slip,))
    hands.count(50)
    maker = Maker(priors=Priors(dict(RATES) | {"other": 0.002}))
    inquiry = Inquiry(plan, 50, Likeness(plan.pattern), maker)
    inquiry.report(plan.place_of(strand, 50), "?")
    assert on_top(ask_on(inquiry, hands), slip)
    assert inquiry.settled


def test_a_wrong_count_is_told_once() -> None:
    """No pair of two wrong counts is ever a suspect: it is another wrong count."""
    plan = shipped("gutter-pearl")
    inquiry = inquiry_at(plan, 8)
    place = plan.step(9).carried[0].transfer.start
    inquiry.report(place, "d")
    rng = random.Random(1)
    for _ in range(6):
        look = inquiry.look
        if look is None:
            break
        letters = "".join(rng.choice("abcd") for _ in range(3))
        odd: dict[str, Answer] = {
            "glance": 3,
            "left": 2,
            "next": letters[0],
            "next3": letters,
            "braid": "nothing",
            "piece": THIS,
        }
        inquiry.answer(look, odd[look.kind])
    assert any(len(each.slips) == 2 for each in inquiry.hypotheses)
    for each in inquiry.hypotheses:
        kinds = [slip.slip for slip in each.slips]
        assert sum(kind in ("count_off", "round_off") for kind in kinds) < 2
