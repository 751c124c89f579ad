from __future__ import annotations

import math
import random
from pathlib import Path

import pytest

from bench.craft.finding_place import (
    FEW,
    Answer,
    PlaceSearch,
    left_at,
    places_of,
    stripe_of,
    turns_made,
)
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.away import Away
from bench.screens.bench.braiding import Braiding
from bench.screens.bench.finding_place import FindingPlace
from bench.screens.bench.mark_due import MarkDue
from bench.screens.bench.paused import Paused
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View
from tests.support.boards import library
from tests.support.clock import ManualClock

from .a_bench import a_bench

VIEW = View(80, 24, Keys(Settings()))


@pytest.fixture
def journal(tmp_path: Path) -> Journal:
    """A journal of its own."""
    return Journal.open(tmp_path / "journal.db", write=True)


def begun(journal: Journal, name: str, made: int) -> Braid:
    """A piece of a shipped pattern with so many crosses made and no mark due."""
    made_up = WorkedPattern.from_library(library(), Settings(), name)
    braid = Braid.start(journal, made_up)
    braid.set_place(made)
    while braid.mark_due is not None and braid.mark_due.after_cross < made:
        braid.mark_done()
    return braid


def test_a_rope_tells_its_length_wherever_one_comes_back_to_it(journal: Journal) -> None:
    """Half of the rows of one size are half of the length, made and to come, on every page."""
    braid = begun(journal, "stair-rope", 512)
    bench = a_bench(braid)
    half = "braid about 547 mm, 544 to come"
    assert half in MarkDue(bench).page(VIEW).as_text()
    braid.mark_done()
    assert half in Braiding(bench).page(VIEW).as_text()
    bench.mode = Braiding(bench)
    assert half in Away(bench).page(VIEW).as_text()
    braid.pause()
    assert half in " ".join(Paused(bench).page(VIEW).as_text().replace("│", " ").split())


def test_drift_is_told_at_a_halt_and_not_before(tmp_path: Path) -> None:
    """Hands that grow slower and uneven are told so where they stop anyway, with both figures."""
    clock, seed = ManualClock(), random.Random(5)
    with Journal.open(tmp_path / "drift.db", write=True, clock=clock) as journal:
        braid = begun(journal, "stair-rope", 0)
        bench = a_bench(braid)
        while braid.made < 128:
            tired = braid.made >= 88
            clock.advance(math.exp(seed.gauss(math.log(12 if tired else 7), 0.6 if tired else 0.2)))
            if braid.mark_due is None:
                braid.cross()
            else:
                assert "less even" not in MarkDue(bench).page(VIEW).as_text()
                braid.mark_done()
            if braid.mark_due is None:
                assert "less even" not in Braiding(bench).page(VIEW).as_text()
        shown = MarkDue(bench).page(VIEW).as_text()
    assert "slower and less even" in shown
    assert "(7 before)" in shown
    assert "CAUTION" in shown


@pytest.mark.parametrize("off", [-2, -1, 0, 1, 2])
def test_a_rope_is_found_again_where_it_really_is(off: int) -> None:
    """A count that is a press or two off is set right wherever on the rope, by three or four looks.

    The braid came out 3 % longer than predicted; nothing is counted that has more than ten beads.
    """
    rope = WorkedPattern.from_library(library(), Settings(), "stair-rope")
    plan, growth = rope.plan, rope.growth
    wrong = 0
    for really in range(20, plan.crosses - 20, 163):
        search = PlaceSearch(plan, really - off, growth)
        while (look := search.next_look) is not None:
            answer: Answer = plan.step(really).call
            if look.kind == "length":
                answer = round(1.03 * growth.after_mm[really])
            elif look.kind == "turns":
                answer = (really - 4) // 24
            elif look.kind == "where":
                answer = places_of(plan, look.letter, really)
            elif look.kind == "count":
                answer = left_at(plan, look.place, really)
                assert answer <= FEW
            search = search.answered(look, answer)
        assert 3 <= len(search.answers) <= 5
        assert really in search.found
        wrong += search.found[0] != really
    assert wrong <= 1


def test_a_stripe_turns_as_the_trade_says() -> None:
    """Two strands of another colour are a stripe; it climbs once round in six beads of a strand.

    That is 24 mm of 8/0 beads by the six columns (common practice, no source), and more by the
    1 : 2 rule (R. A. Combs, designandadorn.com, 1 Aug 2018): 2 x 6 x 2.3 mm = 27.6 mm.
    """
    rope = WorkedPattern.from_library(library(), Settings(), "stair-rope")
    assert stripe_of(rope.plan) == "t"
    assert turns_made(rope.plan, 28) == 1
    assert turns_made(rope.plan, 4) == 0
    turn = rope.growth.after_mm[424] - rope.growth.after_mm[400]
    assert 24 <= turn <= 27.6
    plain = WorkedPattern.from_library(library(), Settings(), "landing-cord")
    assert not stripe_of(plain.plan)


def test_the_looks_at_a_rope_are_asked_in_words_of_the_stand(journal: Journal) -> None:
    """Length, turns, where the stripe lies; then one place first, with its chance and length."""
    braid = begun(journal, "stair-rope", 500)
    bench = a_bench(braid)
    bench.mode = Braiding(bench)
    finding = FindingPlace(bench)
    shown = finding.draw(VIEW).as_text()
    assert "Measure the braid as it hangs" in shown
    for key in ("5", "4", "0", "enter"):
        finding.press(key, key)
    assert "one line of t (stripe 8/0)" in finding.draw(VIEW).as_text()
    for key in ("2", "0", "enter"):
        finding.press(key, key)
    look = finding.looks.look
    assert look is not None
    assert look.kind == "where"
    assert "At which places is t (stripe 8/0) the next bead?" in finding.draw(VIEW).as_text()
    right = look.options.index(places_of(braid.plan, "t", 502)) + 1
    finding.press(str(right), str(right))
    shown = finding.draw(VIEW).as_text()
    assert "You are most likely here:" in shown
    assert "more, less likely" in shown
    assert shown.count("than counted") == 1
    assert "2 crosses further than counted" in shown
    assert "536 mm as predicted" in shown
    finding.press("down", None)
    assert finding.draw(VIEW).as_text().count("than counted") > 1
    finding.press("up", None)
    finding.press("enter", None)
    assert braid.made == 502


def test_a_place_that_no_look_tells_is_not_called_likely(journal: Journal) -> None:
    """A length alone leaves many places: the likeliest is told with its one chance in so many."""
    finding = FindingPlace(a_bench(begun(journal, "stair-rope", 600)))
    for key in ("1", "0", "9", "1", "enter"):
        finding.press(key, key)
    while finding.looks.look is not None:
        finding.press("enter", None)
    shown = finding.draw(VIEW).as_text()
    assert "likeliest of them" in shown
    assert "1 in " in shown
    assert "hardly" not in shown


def test_a_drop_does_not_tell_its_length(journal: Journal) -> None:
    """A piece without halts is short: its marks say enough."""
    assert "to come" not in Braiding(a_bench(begun(journal, "cistern", 20))).page(VIEW).as_text()
