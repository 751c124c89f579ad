"""Another piece under the hands is a suspect of its own, with a look that is cheap."""

from __future__ import annotations

import json
import random

import pytest

from bench.slips.dialogue import Dialogue
from bench.slips.inquiry import Inquiry
from bench.slips.looks import ANOTHER, THIS
from bench.slips.mends import mends
from bench.slips.suspect import Suspect
from tests.speed.slips_calibration import ended
from tests.support.slips_makers import Hands, shipped
from tests.support.slips_worlds import OtherPiece, world

from .test_inquiry import ask_on, inquiry_at


def _taken_up(more: int = 6) -> tuple[Inquiry, OtherPiece]:
    """Another pattern's piece lies on the stand, farther on; what is odd there was reported."""
    mine, other = shipped("cistern"), shipped("downpipe")
    hands = OtherPiece(mine, other, more)
    for made in range(mine.crosses):
        hands.count(made)
        for move in mine.step(made + 1).carried:
            place = move.transfer.start
            saw = hands.ahead(place)[:1] or None
            if saw != (mine.remaining(move.strand, made)[:1] or None):
                inquiry = inquiry_at(mine, made)
                inquiry.report(place, saw)
                return inquiry, hands
    raise AssertionError("nothing is odd about it")


def _told_so(inquiry: Inquiry) -> list[object]:
    return [one.answer for one in inquiry.evidence if one.look.kind == "piece"]


def test_another_piece_is_found_and_nothing_is_mended() -> None:
    """Answered twice, it is settled, and its only mend touches neither count nor strand."""
    inquiry, hands = _taken_up()
    ask_on(inquiry, hands)
    assert inquiry.settled
    assert inquiry.classes[0].first.slips == (Suspect("other_piece"),)
    assert _told_so(inquiry) == [ANOTHER, ANOTHER]
    (way,) = mends(inquiry.planned, inquiry.classes[0].first.slips)
    assert not way.effects
    assert "open the one that lies on the stand" in way.do


def test_planted_pieces_are_told_from_wrong_counts() -> None:
    """Of other patterns' pieces taken up, at most one in ten is taken for something else."""
    found = [ended("wrong_piece", f"7 wrong_piece {n}", 0.0) for n in range(30)]
    assert sum(one.right for one in found) >= 27


def _far_off(rows: int) -> tuple[Inquiry, Hands]:
    """The count is so many rows ahead; another bead was reported where one hangs."""
    plan, made = shipped("gutter-pearl"), 40
    hands = Hands(plan, (Suspect("count_off", shift=rows * plan.row_length, at=1),))
    hands.count(made)
    inquiry = inquiry_at(plan, made)
    ahead = inquiry.planned.ahead
    place = next(place for place in ahead if hands.ahead(place)[:1] != ahead[place][:1])
    inquiry.report(place, hands.ahead(place)[:1])
    return inquiry, hands


@pytest.mark.parametrize("rows", [2, 4, 5])
def test_a_count_far_off_is_set_once_the_piece_is_known(rows: int) -> None:
    """Before a count is set by more than a row the tag is asked for, and soon: in eight looks."""
    inquiry, hands = _far_off(rows)
    ask_on(inquiry, hands)
    assert inquiry.classes[0].slip == "count_off"
    assert _told_so(inquiry) == [THIS]
    assert not any(one.look.kind == "read" for one in inquiry.evidence)
    assert len(inquiry.evidence) <= 9


def test_where_no_piece_can_be_told_a_strand_is_read_off() -> None:
    """Set aside, the look at the piece is not asked again; a strand read off stands in for it."""
    inquiry, hands = _far_off(5)
    kinds = []
    while inquiry.look is not None:
        look = inquiry.look
        kinds.append(look.kind)
        if look.kind == "piece":
            inquiry.skip(look)
        else:
            inquiry.answer(look, hands.right_answer(look, inquiry.planned.made))
    assert kinds.count("piece") == 1
    assert kinds[-1] == "read"
    assert inquiry.classes[0].slip == "count_off"


def test_one_wrong_answer_does_not_make_it_another_piece() -> None:
    """A tag misread once is asked for again, and the count is set as it is."""
    rng, tried = random.Random(3), 0
    while tried < 5:
        planted = world("count_far", rng)
        inquiry = inquiry_at(planted.plan, planted.made)
        inquiry.report(planted.place, planted.saw)
        for _ in range(15):
            look = inquiry.look
            if look is None:
                break
            answer = planted.hands.right_answer(look, planted.made)
            first = look.kind == "piece" and not _told_so(inquiry)
            inquiry.answer(look, ANOTHER if first else answer)
        if _told_so(inquiry):
            tried += 1
            assert inquiry.classes[0].slip != "other_piece"


def test_the_piece_is_asked_for_in_json() -> None:
    """`ask` names the piece in its question and takes "this" or "another", nothing else."""
    inquiry, hands = _taken_up()
    dialogue = Dialogue(inquiry.plan)
    made, report = inquiry.planned.made, inquiry.evidence[0]
    said = json.loads(
        dialogue.line(
            json.dumps({"cross": made + 1, "strand": report.look.strand, "saw": report.answer})
        )
    )
    while said["look"]["kind"] != "piece":
        assert dialogue.inquiry is not None
        assert dialogue.inquiry.look is not None
        answer = hands.right_answer(dialogue.inquiry.look, made)
        said = json.loads(dialogue.line(json.dumps({"answer": answer})))
    assert "Cistern, or another one?" in said["look"]["says"]
    assert '"this" or "another"' in json.loads(dialogue.line('{"answer": 3}'))["error"]
    for _ in range(2):
        said = json.loads(dialogue.line('{"answer": "another"}'))
    assert said["suspects"][0]["slip"] == "other_piece"
    assert said["settled"]
    assert [way["effects"] for way in said["mends"]] == [[]]


def test_no_count_is_set_where_another_piece_was_named() -> None:
    """Whatever a count would explain: an answer that it is another piece is asked for twice."""
    plan = shipped("stair-rope")
    hands = OtherPiece(plan, plan, 6)
    hands.count(0)
    inquiry = inquiry_at(plan, 0)
    inquiry.report(2, hands.ahead(2)[:1])
    ask_on(inquiry, hands, 20)
    assert _told_so(inquiry) == [ANOTHER, ANOTHER]
    assert not (inquiry.settled and inquiry.classes[0].slip == "count_off")
