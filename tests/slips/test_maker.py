from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import fields
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace
from typing import Protocol, cast, get_args

import pytest

from bench.craft.pattern import Bead, Pattern, Threads
from bench.craft.plan import Plan
from bench.documents.errors import DocumentError
from bench.documents.library import Library
from bench.documents.reading import read_document
from bench.documents.settings import Settings, SlipSettings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.learning import maker_of
from bench.making.worked_pattern import WorkedPattern
from bench.screens.slips.talk import SlipTalk
from bench.slips.costs import Costed, Costs, Kind
from bench.slips.dialogue import Dialogue
from bench.slips.evidence import ErrorRates
from bench.slips.inquiry import Inquiry
from bench.slips.likeness import Likeness
from bench.slips.looks import Answer, Look, likelihood
from bench.slips.maker import HandsTook, Lesson, LookTook, Maker, SlipsMended, learned
from bench.slips.mends import mends
from bench.slips.offered_looks import Frequency, offers
from bench.slips.planned_stand import PlannedStand
from bench.slips.suspect import Suspect
from tests.support.clock import ManualClock
from tests.support.events import record
from tests.support.odd_events import MEND
from tests.support.slips_makers import DROPS, Hands, shipped


class Asked(Protocol):
    """A talk or a dialogue about a slip."""

    likeness: Likeness


Ask = Callable[[Plan, Maker], Asked]


def talk_of(plan: Plan, maker: Maker) -> Asked:
    """The app's talk about a piece of a plan, so far without a report."""
    braid = SimpleNamespace(plan=plan, made=4)
    return SlipTalk(cast(Braid, braid), maker, lambda: 0.0)


def of_two_beads(load: str, a: str, b: str) -> Plan:
    """A plan with this load on all eight strands, of beads of two colours."""
    return Plan(
        Pattern(
            format=1,
            title="Two beads",
            structure="kongo-8",
            threads=Threads(diameter_mm=0.13),
            beads={x: Bead(size="11/0", colour=colour) for x, colour in (("a", a), ("b", b))},
            loads={"all": load},
        ),
        Library(None).structure("kongo-8"),
    )


def mended(slip: str, times: int) -> list[Lesson]:
    """So many mends chosen for a kind of slip."""
    return [SlipsMended((slip,))] * times


def looked(kind: Kind, *seconds: float, answer: Answer = None) -> list[Lesson]:
    """Answers to a kind of look that took these seconds."""
    return [LookTook(kind, s, answer) for s in seconds]


def test_own_slips_move_the_odds_slowly() -> None:
    """Three mends of a rare slip raise its rate, do not double every guess, and keep the sum."""
    before, after = Maker().priors.rates, learned(Maker(), mended("swapped", 3)).priors.rates
    assert before["swapped"] < after["swapped"] < before["swapped"] + 0.06
    assert sum(after.values()) == pytest.approx(sum(before.values()))
    assert before["missing"] * 0.9 < after["missing"] < before["missing"]
    assert max(after, key=lambda kind: after[kind]) == "count_off"


def test_many_own_slips_outweigh_the_guess() -> None:
    """After 300 slips of one kind it has most of all odds."""
    rates = learned(Maker(), mended("swapped", 300)).priors.rates
    assert rates["swapped"] > 0.8 * sum(rates.values())


def test_own_seconds_take_over_from_the_guess() -> None:
    """One slow answer moves a look's seconds a little, forty move it nearly all the way."""
    usual = Costs().next
    one = learned(Maker(), looked("next", 8.0)).costs.of("next")
    forty = learned(Maker(), looked("next", *[8.0] * 40)).costs.of("next")
    assert usual < one < 3.0
    assert 6.5 < forty < 8.0
    assert learned(Maker(), looked("next", 8.0)).costs.of("glance") == Costs().glance


def test_counts_are_compared_by_what_they_counted() -> None:
    """A maker who takes the usual seconds for every count keeps the usual costs."""
    costs = Costs()
    events = [
        event
        for n in (1, 3, 5, 9, 10)
        for event in looked("left", costs.of("left", n), answer=n)
    ]  # fmt: skip
    assert learned(Maker(), events).costs.of("left", 7) == pytest.approx(costs.of("left", 7))


def test_only_the_latest_answers_count() -> None:
    """Fifty quick answers after fifty slow ones are what is learned."""
    events = looked("glance", *[30.0] * 50, *[1.0] * 50)
    quick = learned(Maker(), looked("glance", *[1.0] * 50)).costs.of("glance")
    assert learned(Maker(), events).costs.of("glance") == quick


def test_taking_back_is_learned_from_the_maker_s_own_hands(tmp_path: Path) -> None:
    """Who takes a minute for each cross taken out is told so; one minute teaches less than ten."""
    usual, learnt = Costs().take_back_each, []
    for many in (2, 11):
        clock = ManualClock(wall=1_700_000_000)
        with Journal.open(tmp_path / f"{many}.db", write=True, clock=clock) as journal:
            braid = Braid.start(
                journal, WorkedPattern.from_library(Library(None), Settings(), "gutter-pearl")
            )
            braid.set_place(30)
            for _ in range(many):
                clock.advance(60)
                braid.take_back()
            learnt.append(maker_of(Settings(), journal)[0].costs.take_back_each)
    assert usual < learnt[0] < learnt[1] < 60 + usual


def test_a_mend_that_was_undone_teaches_nothing(tmp_path: Path) -> None:
    """Only mends that were really done count among the maker's slips."""
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as journal:
        braid = Braid.start(
            journal, WorkedPattern.from_library(Library(None), Settings(), "gutter-pearl")
        )
        braid.set_place(30)
        usual = maker_of(Settings(), journal)[0].priors.rates["missing"]
        slip = {**MEND, "slips": [{"slip": "missing"}]}
        record(braid, "mend_chosen", slip)
        braid.undo_mend()
        assert maker_of(Settings(), journal)[0].priors.rates["missing"] == usual
        record(braid, "mend_chosen", slip)
        assert maker_of(Settings(), journal)[0].priors.rates["missing"] > usual


def test_work_after_crosses_taken_back_teaches_no_seconds(tmp_path: Path) -> None:
    """Seconds kept with a mend that takes crosses back first are left out; others count."""
    hands = {"work": "restring", "usual_s": 400, "took_s": 200}
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as journal:
        braid = Braid.start(
            journal, WorkedPattern.from_library(Library(None), Settings(), "gutter-pearl")
        )
        braid.set_place(30)
        usual = maker_of(Settings(), journal)[0].costs.by_hand("restring", 400)
        record(braid, "mend_chosen", {**MEND, "cross": 30, "back_to": 26, "hands": hands})
        assert maker_of(Settings(), journal)[0].costs.by_hand("restring", 400) == usual
        record(braid, "mend_chosen", {**MEND, "cross": 30, "hands": hands})
        assert maker_of(Settings(), journal)[0].costs.by_hand("restring", 400) < usual


def test_seconds_of_the_hands_are_the_maker_s_own() -> None:
    """Who strips and strings in half the usual time is told so, for that work alone."""
    plan = shipped("gutter-pearl")
    planned, slips = PlannedStand(plan, 30), (Suspect("reversed", 3),)
    own = learned(Maker(), [HandsTook("restring", 400, 200)] * 40)
    usual, quick = (
        next(way for way in mends(planned, slips, maker) if way.string) for maker in (Maker(), own)
    )
    assert 0.5 * usual.seconds < quick.seconds < 0.6 * usual.seconds
    assert own.costs.by_hand("break_bead", 60) == 60


@pytest.mark.parametrize("took", [0.0, 1.0, 100_000.0, float("nan")])
def test_work_that_was_not_done_teaches_nothing(took: float) -> None:
    """Seconds in which no hands strip and string a strand are left out."""
    assert learned(Maker(), [HandsTook("restring", 400, took)]).costs == Maker().costs


def test_stripping_nine_beads_takes_six_minutes() -> None:
    """Nine beads off a hitched, weighted end and on again by the needle: about six minutes."""
    costs = Costs()
    assert 5 * 60 <= costs.rehitch + 9 * costs.restring_each <= 7 * 60


def test_an_hour_at_the_door_is_no_look() -> None:
    """Answers too quick or too slow for a look are left out."""
    assert learned(Maker(), looked("next", 0.1, 3600.0, float("nan"))).costs == Maker().costs


@pytest.mark.parametrize("name", [*DROPS, "stair-rope"])
def test_offers_lie_between_rows_and_within_the_maker_s_patience(name: str) -> None:
    """Never in the middle of a row, counts of at most ten, all together within the set seconds."""
    plan, rng = shipped(name), random.Random(2)
    for most in (0.0, rng.uniform(3, 20), 60.0):
        found = offers(plan, Frequency(at_most_s=most))
        assert sum(look.seconds for look in found.values()) <= most
        for made, look in found.items():
            assert plan.row_at(made + 1)[1] == 1
            assert look.kind == "glance" or look.seconds <= Costs().of("left", 10)
    assert found


def test_no_glance_sooner_than_set() -> None:
    """With three rows between, no two glances are nearer than that; with never, there is none."""
    for name in DROPS:
        plan = shipped(name)
        found = offers(plan, Frequency(rows_between=3, count_rows=0))
        made = sorted(found)
        assert all(b - a >= 3 * plan.row_length for a, b in pairwise(made))
        assert offers(plan, Frequency("never", 1, 0)) == {}


@pytest.mark.parametrize(("rows", "glances"), [(1, [2, 3, 5, 6, 8, 9, 11]), (3, [2, 5, 8, 11])])
def test_changes_in_a_row_silence_no_later_glance(rows: int, glances: list[int]) -> None:
    """Where beads change in every third row, a glance is offered as often as the maker set it."""
    plan = of_two_beads("2(3a 3b)", "#102030", "#d0e0f0")
    found = offers(plan, Frequency(rows_between=rows, count_rows=0))
    assert [(made - plan.plain_start) // plan.row_length for made in found] == glances


def test_with_one_piece_in_the_making_no_other_one_is_asked_for(tmp_path: Path) -> None:
    """Before a count is set it is asked which piece lies there only where there are two."""
    slip, asked = Suspect("count_off", shift=2, at=1), []
    with Journal.open(tmp_path / "journal.db", write=True, clock=ManualClock()) as journal:
        made = WorkedPattern.from_library(Library(None), Settings(), "cistern")
        for _ in range(2):
            braid = Braid.start(journal, made)
            hands = Hands(braid.plan, (slip,))
            hands.count(18)
            maker = maker_of(Settings(), journal)[0]
            inquiry = Inquiry(braid.plan, 18, Likeness(braid.plan.pattern), maker)
            ahead = inquiry.planned.ahead
            place = next(at for at in ahead if hands.ahead(at)[:1] != ahead[at][:1])
            inquiry.report(place, hands.ahead(place)[:1])
            while inquiry.look is not None:
                inquiry.answer(inquiry.look, hands.right_answer(inquiry.look, 18))
            assert inquiry.classes[0].slip == "count_off"
            asked.append(any(one.look.kind == "piece" for one in inquiry.evidence))
    assert asked == [False, True]


def test_the_maker_s_settings_are_read(tmp_path: Path) -> None:
    """Odds, eyes and patience are set in settings.toml; a misreading has no rate of its own."""
    path = tmp_path / "settings.toml"
    path.write_text('format = 1\n[slips]\nvision = "deutan"\nrates = { missing = 0.2 }\n')
    slips = read_document(path, Settings).slips
    assert (slips.vision, slips.rates) == ("deutan", {"missing": 0.2})
    path.write_text("format = 1\n[slips]\nrates = { misread = 0.2 }\n")
    with pytest.raises(DocumentError, match="false_report"):
        read_document(path, Settings)
    path.write_text("format = 1\n[slips]\nfalse_answer = 0.5\nfalse_count = 0.5\n")
    with pytest.raises(DocumentError, match="false_answer"):
        read_document(path, Settings)


def test_a_number_is_wrong_by_one_more_often_than_by_two() -> None:
    """Who counts five strands says four or six a few times as often as any other wrong number."""
    rates, likeness = ErrorRates(), Likeness(shipped("cistern").pattern)
    for kind in ("glance", "left"):
        look = Look(kind, 1, 1, 3.0, "a")
        four, three = (
            likelihood(look, 5, said, rates.answer, likeness, rates.miscount) for said in (4, 3)
        )
        assert four > 2 * three


def test_a_talk_bears_the_worst_eyes_that_can_be_set() -> None:
    """With as many wrong answers as settings take, a report and its look still have chances."""
    plan = shipped("cistern")
    maker = Maker(error_rates=ErrorRates(0.4, 0.4, 0.4, 0.4))
    inquiry = Inquiry(plan, 18, Likeness(plan.pattern), maker)
    inquiry.report(1, "a")
    assert sum(each.chance for each in inquiry.hypotheses) == pytest.approx(1)


def test_mends_are_ranked_by_the_makers_own_seconds() -> None:
    """Each cost can be set; a maker who takes crosses back quickly is offered that first."""
    assert {field.name for field in fields(Costs)} - {"own", "own_hands"} == set(get_args(Costed))
    plan = shipped("gutter-pearl")
    at = plan.cross_of(1, 4)
    gap = Suspect("not_brought_in", 1, None, "c", None, 5, 7, at=at)
    for each_s, first in ((2, "Take back"), (200, "At ")):
        settings = Settings(slips=SlipSettings(seconds={"take_back_each": each_s}))
        maker = maker_of(settings, None)[0]
        assert mends(PlannedStand(plan, at + 4), (gap,), maker)[0].do.startswith(first)


@pytest.mark.parametrize("name", [*DROPS, "stair-rope", "one strand alone"])
def test_a_glance_is_for_the_bead_that_most_strands_show(name: str) -> None:
    """The bead asked for hangs next at its place, and at no fewer strands than any other."""
    plan = shipped("gutter-pearl" if " " in name else name)
    if " " in name:
        strand = plan.arrangement(plan.plain_start)[0]
        plan = plan.with_load(strand, 0, "abcd" * 4)
    found = offers(plan, Frequency(count_rows=0))
    assert found
    for made, look in found.items():
        ahead = PlannedStand(plan, made).ahead
        shown = [beads[:1] for beads in ahead.values() if beads]
        assert look.bead == ahead[look.place][:1]
        assert shown.count(look.bead) == max(map(shown.count, shown))


@pytest.mark.parametrize("ask", [Dialogue, talk_of], ids=["ask", "app"])
def test_colours_are_told_apart_by_the_maker_s_own_eyes(ask: Ask) -> None:
    """The vision that is set reaches the talk and the dialogue: red beside green is overlooked."""
    plan = of_two_beads("3a 3b", "#a0522d", "#4f7a28")
    full, deutan = (
        ask(plan, Maker(vision=vision)).likeness.overlooked("a", "b")
        for vision in ("full", "deutan")
    )
    assert full < deutan
