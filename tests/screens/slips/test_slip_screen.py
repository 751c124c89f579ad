"""Not what I see, in the app: reported, looked at and mended by key, against a walked stand."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from bench.journal.slip_payloads import SewIn
from bench.journal.store import Journal
from bench.making.learning import maker_of
from bench.making.mending import carry_out
from bench.screens.bench.not_what_i_see import NotWhatISee
from bench.screens.bench.screen import BenchScreen
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.suspect import Slip, Suspect
from tests.support.events import record
from tests.support.slips_makers import KINDS, Hands
from tests.support.slips_walker import Notice, Walker, hangs_as_planned, mend_by_hand, planted

from ..conftest import Sit
from .talks import NAME, OTHERS, SLIP, braid_at, braid_of, chosen, talk


@pytest.mark.parametrize("kind", KINDS)
async def test_a_planted_slip_is_caught_and_mended(sit: Sit, kind: Slip) -> None:
    """For each kind: at most three keys report it, looks find it, and the best mend mends it.

    Where no look can tell the suspects left apart, the heading says that it is one of them.
    Afterwards the plan on the screen is what hangs on the strands, or, where crosses are taken
    back key by key, the count stands before the slip and the strands are as they were then.
    """
    async with sit() as sitting:
        braid = await braid_at(sitting, 0, OTHERS.get(kind, NAME))
        slip, hands, noticed = planted(braid.plan, kind, 5)
        braid.set_place(noticed.made)
        for mark in braid.marks:
            if mark.after_cross <= noticed.made:
                record(braid, "mark_done", {"cross": mark.after_cross, "mark": mark.id})
        walker = Walker(braid.plan, hands, noticed)
        await talk(sitting, walker)
        found = ("WHAT IT IS", "ONE OF THESE: NO LOOK TELLS WHICH")
        assert any(heading in sitting.shown for heading in found), sitting.shown
        await sitting.press("1", "enter")
        mend = chosen(braid)
        if mend.get("back_to") is not None:
            back_to = mend.get("back_to")
            assert isinstance(back_to, int)
            while braid.made > back_to:
                assert "comes out" in sitting.shown
                await sitting.press("backspace")
            assert "the last" in sitting.shown
            assert slip.at is None or braid.made < slip.at
            hands = Hands(braid.plan, (replace(slip, at=10_000),) if slip.at else ())
            hands.count(braid.made)
        mend_by_hand(hands, braid.plan, braid.made, str(mend["do"]))
        right = hangs_as_planned(hands, braid.plan, braid.made, str(mend["do"]))
        assert right, (slip, mend)


async def test_escape_leads_back_with_nothing_changed(sit: Sit) -> None:
    """From each page of the talk one key leads back; count, loads and marks are as before."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        before = replace(braid.state, events=0, last_event=None, last_wall=0.0)
        await sitting.press(SLIP)
        for keys in ([], ["2"], ["2", "d"], ["2", "d", "5"], ["2", "d", "5", "tab"],
                     ["2", "d", "5", "tab", "1"], ["4"], ["4", "6"], ["3", "6"]):  # fmt: skip
            await sitting.press("escape", SLIP, *keys)
            assert "NOT WHAT I SEE" in sitting.shown
        await sitting.press("escape")
        assert "ROWS" in sitting.shown
        after = replace(braid.state, events=0, last_event=None, last_wall=0.0)
        assert after == before


async def test_backspace_takes_the_last_answer_back(sit: Sit) -> None:
    """After a wrong answer one key brings the same look again, and the chances from before it."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "5")
        before = sitting.shown
        await sitting.press("a")
        assert sitting.shown != before
        await sitting.press("backspace")
        assert sitting.shown == before
        await sitting.press("backspace", "backspace")
        assert "Is another bead hanging next" in sitting.shown


async def test_a_look_that_cannot_be_answered_gives_way_to_another(sit: Sit) -> None:
    """Enter alone sets the look aside; another one is asked."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d")
        assert "show c next?" in sitting.shown
        await sitting.press("enter")
        assert "ONE LOOK" in sitting.shown
        assert "show c next?" not in sitting.shown


async def test_a_misreading_ends_as_one(sit: Sit) -> None:
    """A report that a second look does not bear out leads to: carry on, the plan is right."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        hands = Hands(braid.plan, ())
        hands.count(30)
        await talk(sitting, Walker(braid.plan, hands, Notice(30, 2, "d")))
        assert "Carry on: the plan is right." in sitting.shown
        await sitting.press("1", "enter")
        assert (braid.made, braid.state.load_changes, braid.state.seen) == (30, (), ())


async def test_the_choices_of_before_are_still_there(sit: Sit) -> None:
    """The last cross is taken back, or the place is found, with two keys."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP)
        assert "top, right of the two" in sitting.shown
        assert "the plan says: c  pale cloud 8/0" in sitting.shown
        await sitting.press("6")
        assert braid.made == 29
        assert "comes out" in sitting.shown
        await sitting.press("space", SLIP, "7")
        assert "FIND MY PLACE" in sitting.shown


async def test_a_bead_to_sew_in_is_reminded_of_until_it_is_done(sit: Sit, home: Path) -> None:
    """The first line says it, the end lists it, a number strikes it off, all across a restart."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        hands.count(30)
        await talk(sitting, Walker(braid.plan, hands, Notice(30, 6, "d")))
        await sitting.press("1", "enter")
        assert "sew-in noted: 1" in sitting.shown
        assert "NO BEAD" in sitting.shown
        await sitting.press("space")
        assert braid.plan.bead_of(1, 31) is None
        piece = braid.piece
    async with sit() as sitting:
        sitting.app.take_up(piece)
        await sitting.pilot.pause()
        assert "sew-in noted: 1" in sitting.shown
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        screen.braid.set_place(screen.braid.plan.crosses)
        for mark in screen.braid.marks:
            spot = {"cross": mark.after_cross, "mark": mark.id}
            record(screen.braid, "mark_done", spot)
        screen.look_again()
        text = "SEW IN one c in row 7 of 17 (cross 31), between c and d on the line of"
        assert text in " ".join(re.sub("[│║]", " ", sitting.shown).split())
        assert "CAUTION Count the needle out and in" in " ".join(sitting.shown.split())
        await sitting.press("m", "m", "m")
        assert screen.braid.state.stage == "finish"
        await sitting.press("m")
        assert "To sew in: 1 bead." in sitting.shown
        await sitting.press("1")
        assert "SEW IN" not in sitting.shown
        assert screen.braid.state.sewn == (SewIn(1, 31, "c"),)
        await sitting.press("m")
        assert "How did it come out?" in sitting.shown
    with Journal.open(home / "journal.db", write=False) as journal:
        assert journal.state(piece).sew_ins == ()


async def test_the_picture_shows_what_will_be_seen(sit: Sit) -> None:
    """A bead to be sewn in stands as a ring in the picture of the braid until it is."""
    async with sit(120, 40) as sitting:
        braid = await braid_at(sitting, 30)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        hands.count(30)
        await talk(sitting, Walker(braid.plan, hands, Notice(30, 6, "d")))
        await sitting.press("1", "enter", "space")
        assert "○" in sitting.shown
        braid.sewn_in(1, 31)
        await sitting.press("space")
        assert "○" not in sitting.shown


async def test_reading_off_compares_with_the_plan(sit: Sit) -> None:
    """From the mends R takes the strand's beads letter by letter and says what differs."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "tab", "r", *"dddcccbbaa", "enter")
        assert "the 1st bead planned from here, c, is missing" in sitting.shown
        assert "without a bead; sew one c in later" in " ".join(sitting.shown.split())
        stay = re.search(r"(\d)  Carry on with what hangs there", sitting.shown)
        assert stay is not None
        await sitting.press(stay[1], "enter")
        assert braid.plan.remaining(1, 30) == "dddcccbbaa"
        slips = chosen(braid)["slips"]
        assert isinstance(slips, list)
        assert [slip["slip"] for slip in slips] == ["missing"]


async def test_looks_are_offered_between_rows_and_ask_no_key(sit: Sit) -> None:
    """A row before a change the bench offers a glance; going on answers it, mid-row it is gone."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 43)
        assert "LOOK" not in sitting.shown
        await sitting.press("space")
        assert "LOOK   round the rim all 8 show c next?" in sitting.shown
        made, events = braid.made, braid.state.events
        await sitting.press("space")
        assert (braid.made, braid.state.events) == (made + 1, events + 1)
        assert "LOOK" not in sitting.shown


@pytest.mark.parametrize(
    ("width", "height", "names"),
    [(80, 24, "ROWS SOON MARK DONE LOOK"), (60, 20, "ROWS SOON MARK LOOK")],
)
async def test_an_offered_look_hides_no_mark(sit: Sit, width: int, height: int, names: str) -> None:
    """The next mark keeps its line; the look stands below, on a small screen for what was counted.

    What a key has to say there comes before it.
    """
    async with sit(width, height) as sitting:
        await braid_at(sitting, 44)
        lines = [line[1:8].strip() for line in sitting.shown.splitlines()]
        assert [name for name in lines if name in ("ROWS", "SOON", "MARK", "DONE", "LOOK")] == (
            names.split()
        )
        await sitting.press("m")
        assert "No mark is due." in sitting.shown


async def test_a_mend_is_told_whole(sit: Sit) -> None:
    """The chosen mend is read to its end on the bench; the screen then calls what it called for.

    Nothing is left standing that was done, or that names a place where another strand lies by then.
    """
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        hands.count(30)
        await talk(sitting, Walker(braid.plan, hands, Notice(30, 6, "d")))
        assert "In the next cross, move the strand now at" in " ".join(sitting.shown.split())
        await sitting.press("1")
        assert "go on: the screen calls the move" in sitting.shown
        await sitting.press("enter")
        assert "sew one c in later." in " ".join(sitting.shown.split())
        assert "– means: no bead there" in sitting.shown or "NO BEAD" in sitting.shown
        await sitting.press("space")
        assert "MEND" not in sitting.shown
        assert "no bead" not in sitting.shown.lower()


@pytest.mark.parametrize(("width", "height"), [(80, 24), (60, 20)])
async def test_what_a_mend_still_asks_of_the_hands_stays_on_the_bench(
    sit: Sit, home: Path, width: int, height: int
) -> None:
    """A bead to be broken later is called at the place where its strand lies, until it is due.

    Also after the program was left and opened again.
    """
    slip = Suspect("extra", 1, None, "d", "d", 8, 10, index=9)
    async with sit(width, height) as sitting:
        braid = await braid_at(sitting, 30)
        ways = mends(PlannedStand(braid.plan, 30), (slip,))
        later = next(way for way in ways if way.later)
        carry_out(braid, later, (slip,), 0.99)
        asked = braid.state.later[0]
        cross = asked.cross
        assert asked.what == "break one bead d"
    async with sit(width, height) as sitting:
        await sitting.press("enter")
        while braid_of(sitting).made < cross - 1:
            await sitting.press("space")
            lies = braid_of(sitting).plan.place_of(1, braid_of(sitting).made)
            place = braid_of(sitting).structure.places[lies - 1]
            if "LOOK" not in sitting.shown and braid_of(sitting).made < cross:
                assert f"MEND   before cross {cross}, {place}: break" in sitting.shown
            await sitting.press("m")
        await sitting.press("space")
        assert "MEND" not in sitting.shown


async def test_a_mend_that_was_not_done_is_taken_back(sit: Sit) -> None:
    """As long as no cross was made, one more key says that it was not done: all is as before."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        hands.count(30)
        before = braid.plan.loads
        await talk(sitting, Walker(braid.plan, hands, Notice(30, 6, "d")))
        await sitting.press("1", "enter", SLIP)
        assert (braid.plan.loads, len(braid.state.sew_ins)) != (before, 0)
        key = re.search(r"(\S)  the last mend was not done", sitting.shown)
        assert key is not None
        await sitting.press(key[1])
        assert "the last mend was not done" in sitting.shown
        assert (braid.plan.loads, braid.state.sew_ins, braid.made) == (before, (), 30)
        await sitting.press("space", SLIP)
        assert "the last mend was not done" not in sitting.shown


async def test_seconds_are_kept_only_where_the_work_came_before_the_key(sit: Sit) -> None:
    """A minute on the page of a mend counts as its work by hand, not where crosses come out first.

    There the work is done after they are out, and nobody has timed it.
    """
    slip = Suspect("missing", 1, index=3)
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        for takes_back in (False, True):
            hands = Hands(braid.plan, (slip,))
            hands.count(30)
            await talk(sitting, Walker(braid.plan, hands, Notice(30, 6, "d")))
            screen = sitting.app.screen
            assert isinstance(screen, BenchScreen)
            assert isinstance(screen.mode, NotWhatISee)
            if takes_back:
                await sitting.press("right")
            number = next(
                number
                for number, way in enumerate(screen.mode.talk.ways, 1)
                if way.by_hand and way.steps[0].kind == ("take_back" if takes_back else "restring")
            )
            await sitting.press(str(number))
            await sitting.press("enter", seconds=60)
            assert ("hands" in chosen(braid)) is not takes_back
            if not takes_back:
                await sitting.press(SLIP)
                key = re.search(r"(\S)  the last mend was not done", sitting.shown)
                assert key is not None
                await sitting.press(key[1])


async def test_no_look_is_offered_where_the_maker_set_none(sit: Sit, home: Path) -> None:
    """With no seconds to spare for offered looks the bench stays as it is."""
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[slips]\nasked_at_most_s = 0\n")
    async with sit() as sitting:
        await braid_at(sitting, 44)
        assert "LOOK" not in sitting.shown


async def test_own_answers_teach_the_next_talk(sit: Sit) -> None:
    """Slow answers are kept with their seconds; the next talk knows this maker takes longer."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        before = maker_of(sitting.app.settings, sitting.app.journal)[0]
        await sitting.press(SLIP, "2", "d")
        await sitting.press("5", seconds=20)
        await sitting.press("escape")
        after = maker_of(sitting.app.settings, sitting.app.journal)[0]
        assert 1.3 * before.costs.of("glance") < after.costs.of("glance") < 20
        assert after.costs.of("next") == before.costs.of("next")
