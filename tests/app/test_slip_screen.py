"""Not what I see, in the app: reported, looked at and mended by key, against a walked stand."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from bench.braid import Braid
from bench.journal.store import Journal
from bench.mending import carry_out
from bench.screens.bench import BenchScreen
from bench.slips.effects import TakeBack
from bench.slips.looks import Look
from bench.slips.mends import mends
from bench.slips.scene import Scene, Slip, Suspect
from tests.speed.slips_makers import KINDS, Hands, shipped
from tests.speed.slips_walker import Notice, Walker, hangs_as_planned, mend_by_hand, notice, planted

from .conftest import Sit, Sitting

NAME = "gutter-pearl"
OTHERS = {"reversed": "silver-eaves", "end_for_end": "cistern"}
"""Where the usual pattern would not show a kind: its loads read the same both ways."""
SLIP = "exclamation_mark"


async def braid_at(sitting: Sitting, made: int, name: str = NAME) -> Braid:
    """A piece begun in the app, with so many crosses counted and their marks done."""
    await sitting.begin(name)
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    braid = screen.braid
    braid.set_place(made)
    for mark in braid.marks:
        if mark.after_cross <= made:
            braid.record("mark_done", {"cross": mark.after_cross, "mark": mark.id})
    screen.redraw()
    return braid


async def talk(sitting: Sitting, walker: Walker) -> None:
    """Report and answer by key until nothing is asked any more."""
    await sitting.press(SLIP)
    await sitting.press(*walker.report_keys(sitting.shown), seconds=2)
    for _ in range(15):
        if not walker.asked(sitting.shown):
            return
        await sitting.press(*walker.answer_keys(sitting.shown), seconds=2)
    raise AssertionError("it never stops asking")


def chosen(braid: Braid) -> dict[str, object]:
    """What the mend that was chosen last holds."""
    return dict(list(braid.journal.events(braid.piece, "mend_chosen"))[-1].payload)


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
                braid.record("mark_done", {"cross": mark.after_cross, "mark": mark.id})
        walker = Walker(braid.plan, hands, noticed)
        await talk(sitting, walker)
        clear = "almost surely" in sitting.shown
        assert ("WHAT IT IS" if clear else "ONE OF THESE: NO LOOK TELLS WHICH") in sitting.shown, (
            sitting.shown
        )
        await sitting.press("1", "enter")
        mend = chosen(braid)
        if mend["back_to"] is not None:
            back_to = mend["back_to"]
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
        before = replace(braid.state, events=0, last_event=None, last_kind="", last_wall=0.0)
        await sitting.press(SLIP)
        for keys in ([], ["2"], ["2", "d"], ["2", "d", "5"], ["2", "d", "5", "tab"],
                     ["2", "d", "5", "tab", "1"], ["4"], ["4", "6"], ["3", "6"]):  # fmt: skip
            await sitting.press("escape", SLIP, *keys)
            assert "NOT WHAT I SEE" in sitting.shown
        await sitting.press("escape")
        assert "ROWS" in sitting.shown
        after = replace(braid.state, events=0, last_event=None, last_kind="", last_wall=0.0)
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
            screen.braid.record("mark_done", spot)
        screen.redraw()
        text = "SEW IN one c in row 7 of 17 (cross 31), between c and d on the line of"
        assert text in " ".join(re.sub("[│║]", " ", sitting.shown).split())
        assert "CAUTION Count the needle out and in" in " ".join(sitting.shown.split())
        await sitting.press("m", "m", "m")
        assert screen.braid.state.stage == "finish"
        await sitting.press("m")
        assert "To sew in: 1 bead." in sitting.shown
        await sitting.press("1")
        assert "SEW IN" not in sitting.shown
        assert screen.braid.state.sewn == ((1, 31, "c"),)
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
        assert [slip["slip"] for slip in chosen(braid)["slips"]] == ["missing"]  # type: ignore[attr-defined]


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
        assert "go on: the screen calls that move" in sitting.shown
        await sitting.press("enter")
        assert "sew one c in later." in " ".join(sitting.shown.split())
        assert "– means: no bead there" in sitting.shown or "NO BEAD" in sitting.shown
        await sitting.press("space")
        assert "MEND" not in sitting.shown
        assert "no bead" not in sitting.shown.lower()


async def test_what_a_mend_still_asks_of_the_hands_stays_on_the_bench(sit: Sit, home: Path) -> None:
    """A bead to be broken later is called at the place where its strand lies, until it is due.

    Also after the program was left and opened again.
    """
    slip = Suspect("extra", 1, None, "d", "d", 8, 10, index=9)
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        ways = mends(Scene(braid.plan, 30), (slip,))
        later = next(way for way in ways if way.later)
        carry_out(braid, later, (slip,), 0.99)
        (_, cross, what) = braid.state.later[0]
        assert what == "break one bead d"
    async with sit() as sitting:
        await sitting.press("enter")
        while braid_of(sitting).made < cross - 1:
            await sitting.press("space")
            lies = braid_of(sitting).plan.place_of(1, braid_of(sitting).made)
            place = braid_of(sitting).structure.places[lies - 1]
            if "LOOK" not in sitting.shown and braid_of(sitting).made < cross:
                assert f"MEND   {place}: break one bead d before cross {cross}" in sitting.shown
            await sitting.press("m")
        await sitting.press("space")
        assert "MEND" not in sitting.shown


def braid_of(sitting: Sitting) -> Braid:
    """The braid on the bench."""
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    return screen.braid


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
        before = sitting.app.desk.maker()
        await sitting.press(SLIP, "2", "d")
        await sitting.press("5", seconds=20)
        await sitting.press("escape")
        after = sitting.app.desk.maker()
        assert 1.3 * before.costs.of("glance") < after.costs.of("glance") < 20
        assert after.costs.of("next") == before.costs.of("next")


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (120, 40)])
async def test_every_page_holds_its_keys_in_every_size(sit: Sit, width: int, height: int) -> None:
    """In each size the pages of a talk show question, keys and the way back."""
    async with sit(width, height) as sitting:
        await braid_at(sitting, 30)
        for keys, words in (
            ([SLIP], "the plan says"),
            (["2"], "pale cloud 8/0"),
            (["d"], "other 7"),
            (["5"], "WHAT IT MAY BE"),
            (["d", "tab"], "WHAT CAN BE DONE"),
            (["1"], "ENTER"),
        ):
            await sitting.press(*keys)
            assert words in sitting.shown
            assert "ESC back to braiding" in sitting.shown


async def test_what_is_listed_is_gone_through_and_taken(sit: Sit) -> None:
    """Up, down and Enter do what the listed keys do, on each page that lists some."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "5", "tab")
        by_key = sitting.shown
        await sitting.press("right", "2")
        mend = sitting.shown
        await sitting.press("escape", SLIP, "down")
        assert "▶2" in sitting.shown
        await sitting.press("enter", "up", "up", "up", "enter")
        assert "ONE LOOK" in sitting.shown
        await sitting.press("5", "tab")
        assert sitting.shown == by_key
        await sitting.press("right", "down", "enter")
        assert sitting.shown == mend
        await sitting.press("escape", SLIP, "4", "down", "down", "enter")
        reported = list(braid.journal.events(braid.piece, "slip_reported"))[-1].payload
        assert (reported["place"], reported["braid"]) == (3, "gap")


async def test_enter_answers_a_look_only_where_a_choice_was_gone_to(sit: Sit) -> None:
    """At a look Enter alone means cannot tell; after down it is the first answer."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        for keys, answered in ((["enter"], None), (["down", "enter"], "gap")):
            await sitting.press(SLIP, "2", "d")
            screen = sitting.app.screen
            assert isinstance(screen, BenchScreen)
            assert screen.talk is not None
            assert screen.talk.inquiry is not None
            screen.talk.inquiry.look = Look("braid", 1, 6, 5.0)
            await sitting.press(*keys)
            last = list(braid.journal.events(braid.piece, "look_answered"))[-1].payload
            assert last.get("answer") == answered
            await sitting.press("escape")


async def test_every_mend_can_be_read(sit: Sit) -> None:
    """Mends that find no room are counted, and going down brings them up whole."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 44)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        hands.count(44)
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        await talk(sitting, Walker(braid.plan, hands, Notice(44, 6, "d")))
        assert screen.talk is not None
        for mend in screen.talk.ways:
            text = " ".join(re.sub(r"▶\S|\d+ (s|min)\b|no time", " ", sitting.shown).split())
            assert mend.do in text, sitting.shown
            assert mend.shows in text
            await sitting.press("down")


async def test_stringing_anew_says_what_goes_on(sit: Sit) -> None:
    """That mend's page says which beads stay and which go on behind them, with the caution."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "tab", "r", *"ddcccbbaa", "enter", "1")
        assert "Strip from the free end" in sitting.shown
        assert (
            "bottom, left of the two: no bead stays. Then string on, from there to the free end:"
            " 1c 3d 3c 2b 2a"
        ) in " ".join(sitting.shown.split())
        assert "then the weight off" in sitting.shown


async def test_without_beads_or_crosses_to_come_nothing_senseless_is_asked(sit: Sit) -> None:
    """A cord without beads asks for no next bead; after the last cross there is no further one."""
    async with sit() as sitting:
        await braid_at(sitting, 10, "landing-cord")
        await sitting.press(SLIP)
        assert "another bead" not in sitting.shown
        assert "the last cross went wrong" in sitting.shown
        await sitting.press("escape", "l")
        braid = await braid_at(sitting, 76)
        await sitting.press(SLIP)
        assert "all 76 crosses are made" in sitting.shown.splitlines()[0]
        await sitting.press("escape")
        braid.set_place(30)
        await sitting.press(SLIP, "2", "d", "5", "tab", "1")
        assert "takes no time" in sitting.shown


async def test_one_step_back_leaves_what_was_read_off(sit: Sit) -> None:
    """From a strand read off one key leads back to the suspects, however many beads were typed."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "tab", "r", *"ddd", "enter")
        assert "READ OFF" in sitting.shown
        await sitting.press("backspace")
        assert "WHAT IT MAY BE" in sitting.shown


async def slip_at_its_end(sit: Sitting, slip: Suspect, made: int) -> Braid:
    """A piece with a slip made in it, whose mend by taking back was chosen."""
    braid = await braid_at(sit, made)
    ways = mends(Scene(braid.plan, made), (slip,))
    back = next(w for w in ways if any(isinstance(e, TakeBack) for e in w.effects))
    carry_out(braid, back, (slip,), 0.99)
    return braid


@pytest.mark.parametrize(
    ("kind", "index", "words"),
    [
        ("not_brought_in", 4, "no bead out: none came in"),
        ("not_brought_in", 6, "a gap? no bead; else c out"),
        ("two_brought_in", 4, "two beads out over the rim"),
        ("not_tucked", 4, "bead c out over the rim"),
    ],
)
async def test_back_says_what_comes_out(sit: Sit, kind: Slip, index: int, words: str) -> None:
    """At the slip's own cross the bench asks for no bead that is not there, and for both of two."""
    async with sit() as sitting:
        plan = shipped(NAME)
        at = plan.cross_of(1, index)
        slip = Suspect(kind, 1, None, plan.loads[0][index], None, 5, 8, at=at, index=index)
        braid = await slip_at_its_end(sitting, slip, at + 2)
        await sitting.press("backspace", "backspace")
        assert "none came in" not in sitting.shown
        assert "a gap?" not in sitting.shown
        await sitting.press("backspace")
        assert braid.made == at - 1
        assert words in sitting.shown


async def test_a_slip_that_fits_all_that_was_told_is_never_said_not_to_fit(
    sit: Sit, home: Path
) -> None:
    """A bead of no load, seen twice: both pages tell it as a suspect, though the unknown leads."""
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[slips.rates]\nother = 0.5\n")
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "question_mark", "question_mark")
        for _ in range(2):
            assert "nothing that is known" not in sitting.shown.lower()
            assert "OF WHAT IS KNOWN HERE" in sitting.shown
            assert "one foreign bead" in sitting.shown
            await sitting.press("tab")


async def test_an_empty_strand_is_read_off_too(sit: Sit) -> None:
    """Where nothing hangs any more, one key says so, and the whole rest is missing."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "0", "tab", "r", "0")
        assert "READ OFF" in sitting.shown
        await sitting.press("2", "enter")
        assert braid.plan.remaining(1, 30) == ""


async def test_a_key_at_not_saved_says_nothing_in_the_talk(
    sit: Sit, home: Path, tmp_path: Path
) -> None:
    """While that stands over a talk, the first key takes it away and is no answer or mend."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2")
        gone = home.rename(tmp_path / "gone")
        home.write_text("a file where the folder was")
        await sitting.press("d")
        assert "go on braiding" in sitting.shown
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        assert screen.talk is not None
        told = list(screen.talk.told)
        await sitting.press("5")
        assert screen.talk.told == told
        assert "ONE LOOK" in sitting.shown
        home.unlink()
        gone.rename(home)


async def test_looking_into_the_talk_again_forgets_nothing(sit: Sit) -> None:
    """What was told stays told when the page was only looked at and left in between."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "escape", SLIP, "escape", SLIP, "4", "6")
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        assert screen.talk is not None
        assert screen.talk.inquiry is not None
        assert [seen.look.kind for seen in screen.talk.inquiry.evidence] == ["next", "braid"]


async def test_a_line_is_told_on_the_largest_stand(sit: Sit, home: Path) -> None:
    """Each of 32 places has its key and its name on the page, and the last one is taken."""
    folder = home / "patterns" / "structures"
    folder.mkdir(parents=True)
    places = ", ".join(f'"place {n} of 32"' for n in range(1, 33))
    rounds = "".join(
        f'[[round]]\ncall = "pair {n}"\nclockwise = [[{n}, {n + 1}]]\nslide = [[{n + 1}, {n}]]\n'
        for n in range(1, 33, 2)
    )
    (folder / "wide-32.toml").write_text(
        f'format = 1\ntitle = "Wide"\nplaces = [{places}]\nsource = "made up"\n'
        f'confirmed = "no"\n{rounds}'
    )
    (home / "patterns" / "wide.toml").write_text(
        'format = 1\ntitle = "Wide"\nstructure = "wide-32"\nplain_start = 4\nplain_end = 4\n'
        '[threads]\ndiameter_mm = 0.13\n[beads.a]\nsize = "11/0"\ncolour = "#9fb8c8"\n'
        '[loads]\nall = "6a"\n'
    )
    async with sit() as sitting:
        braid = await braid_at(sitting, 40, "wide")
        await sitting.press(SLIP, "3")
        assert "On whose line" in sitting.shown
        for number in range(1, 33):
            assert f"place {number} of 32" in sitting.shown
        assert "reach under" in sitting.shown
        await sitting.press("w")
        reported = list(braid.journal.events(braid.piece, "slip_reported"))[-1].payload
        assert reported["place"] == 32


async def test_a_wrong_bead_at_any_place_can_be_reported_and_is_found(sit: Sit) -> None:
    """What the look round the rim shows on a strand that is not carried takes three more keys."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 44)
        place, scene = 8, Scene(braid.plan, 44)
        strand = scene.arrangement[place - 1]
        wrong = Suspect("wrong", strand, None, "c", "d", index=scene.counts[strand - 1])
        hands = Hands(braid.plan, (wrong,))
        hands.count(44)
        walker = Walker(braid.plan, hands, Notice(44, place, "d"))
        await sitting.press(SLIP, "3", "8", "d")
        assert "You see at left, upper of the two: d" in sitting.shown
        while walker.asked(sitting.shown):
            await sitting.press(*walker.answer_keys(sitting.shown), seconds=2)
        assert "ONE LOOK" not in sitting.shown
        assert "▶ left, upper of the two: one d" in sitting.shown


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24)])
async def test_what_a_mend_leaves_to_be_seen_is_read_whole(
    sit: Sit, width: int, height: int
) -> None:
    """The page of each mend says to its end what will be seen of it afterwards."""
    async with sit(width, height) as sitting:
        braid = await braid_at(sitting, 44)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        hands.count(44)
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        walker = Walker(braid.plan, hands, Notice(44, 6, "d"))
        await talk(sitting, walker)
        assert screen.talk is not None
        for number, mend in enumerate(screen.talk.ways, 1):
            await sitting.press(str(number))
            beside = r"^[█ ]{20,}" if height > 20 else r"^ "
            text = re.sub(beside, "", sitting.shown, flags=re.MULTILINE)
            assert mend.shows in " ".join(text.split()), sitting.shown
            await sitting.press("backspace")


async def test_a_bead_left_over_at_the_end_can_be_reported(sit: Sit) -> None:
    """Where by the plan all beads are in and one still hangs, the report takes it, and it is found.

    Also when no cross is left: then on any strand.
    """
    async with sit() as sitting:
        braid = await braid_at(sitting, 68, "silver-eaves")
        strand = braid.plan.arrangement(68)[1]
        hands = Hands(braid.plan, (Suspect("extra", strand, actual="a", index=1),))
        hands.count(68)
        await talk(sitting, Walker(braid.plan, hands, Notice(68, 2, "a")))
        assert "▶ top, right of the two: one a too many was strung" in sitting.shown
        await sitting.press("escape")
        braid.set_place(braid.plan.crosses)
        await sitting.press(SLIP)
        assert "on one of the strands" in sitting.shown


async def test_reading_off_is_offered_where_it_tells_more_than_looks(sit: Sit) -> None:
    """A load in reverse looks like one bead too few as far as looks reach: R is named, and mends.

    Where looks have told all there is, nothing is said of it.
    """
    async with sit() as sitting:
        braid = await braid_at(sitting, 23)
        hands = Hands(braid.plan, (Suspect("reversed", 7),))
        noticed = notice(braid.plan, hands)
        assert noticed is not None
        assert noticed.made == 23
        await talk(sitting, Walker(braid.plan, hands, noticed))
        assert "ONE OF THESE" in sitting.shown
        assert "that strand read off does: R" in sitting.shown
        await sitting.press("r", *hands.ahead(noticed.place), "enter", "2", "enter")
        assert braid.plan.remaining(7, 23) == hands.ahead(noticed.place)
        hands = Hands(braid.plan, (Suspect("missing", 1, index=6),))
        braid.set_place(30)
        hands.count(30)
        await talk(sitting, Walker(braid.plan, hands, Notice(30, 6, "d")))
        assert "read off does" not in sitting.shown


async def test_a_key_that_bounces_is_taken_once(sit: Sit) -> None:
    """A second press at once answers no look and counts no cross behind a mend; spelling may."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d")
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        assert screen.talk is not None
        for key in ("enter", "backspace"):
            told = len(screen.talk.told)
            await sitting.press(key)
            await sitting.press(key, seconds=0.1)
            assert abs(len(screen.talk.told) - told) == 1
            assert "second press ignored" in sitting.shown
        await sitting.press("tab", "r")
        await sitting.press(*"ddd", seconds=0.1)
        assert "3 are read off" in sitting.shown
        await sitting.press("enter", "1", "space")
        await sitting.press("space", seconds=0.1)
        assert (braid.made, braid.state.last_kind) == (30, "mend_chosen")


async def test_a_letter_that_is_no_bead_is_said(sit: Sit) -> None:
    """A letter of no load is no report and no answer; one line says so, and the page stays."""
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "x")
        assert "No load has a bead x" in sitting.shown
        assert "What hangs next" in sitting.shown
        await sitting.press("d")
        assert "ONE LOOK" in sitting.shown
        assert "No load has" not in sitting.shown


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24)])
async def test_the_foot_names_every_key_of_looks_and_mends(
    sit: Sit, width: int, height: int
) -> None:
    """Both pages name the keys that answer or choose, what Enter does now, and the way back."""
    async with sit(width, height) as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d")
        foot = " ".join(sitting.shown.splitlines()[-2:])
        for part in ("0-7 answer", "ENTER cannot tell", "TAB what", "BACKSPACE last", "ESC back"):
            assert part in foot, foot
        await sitting.press("5")
        assert "letters answer" in sitting.shown
        await sitting.press("d")
        assert "ENTER answers so" in sitting.shown
        await sitting.press("backspace", "tab")
        foot = " ".join(sitting.shown.splitlines()[-2:])
        for part in ("ENTER 1 mend", "LEFT RIGHT", "TAB the look", "R read off", "BACKSPACE last"):
            assert part in foot, foot
