"""The pages of a talk about a slip: what each shows, in every size, and what its keys do."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from bench.making.braid import Braid
from bench.making.mending import carry_out
from bench.screens.bench.not_saved import NotSaved
from bench.screens.bench.not_what_i_see import NotWhatISee
from bench.screens.bench.screen import BenchScreen
from bench.slips.looks import Look
from bench.slips.mend_steps import TakeBack
from bench.slips.mends import mends
from bench.slips.planned_stand import PlannedStand
from bench.slips.suspect import Slip, Suspect
from tests.support.slips_makers import Hands, shipped
from tests.support.slips_walker import Notice, Walker, notice

from ..conftest import Sit, Sitting
from .talks import NAME, SLIP, braid_at, talk


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (120, 40)])
async def test_every_page_holds_its_keys_in_every_size(sit: Sit, width: int, height: int) -> None:
    """In each size the pages of a talk show question, keys and the way back."""
    async with sit(width, height) as sitting:
        await braid_at(sitting, 30)
        for keys, words in (
            ([SLIP], "the plan says"),
            (["2"], "pale cloud 8/0"),
            (["d"], "other 7"),
            (["5"], "letter by letter"),
            (["d", "d", "c"], "WHAT IT MAY BE"),
            (["tab"], "WHAT CAN BE DONE"),
            (["1"], "ENTER"),
        ):
            await sitting.press(*keys)
            assert words in sitting.shown
            assert "ESC back to braiding" in sitting.shown


SIXTEEN = """
format = 1
title = "Sixteen"
structure = "kongo-16"

[threads]
double_lengths = []
strung = "each half from its own end"
name = "gel-spun 0.13 mm"
diameter_mm = 0.13

[beads.a]
name = "red glass"
colour = "#aa2020"
size = "11/0"

[beads.b]
name = "blue glass"
colour = "#2020aa"
size = "11/0"

[loads]
all = "20(2a b)"
"""


async def test_what_is_listed_is_gone_through_and_taken(sit: Sit) -> None:
    """Up, down and Enter do what the listed keys do, on each page that lists some."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d", "5", "tab")
        by_key = sitting.shown
        await sitting.press("right", "2")
        mend = sitting.shown
        assert "takes about" in mend
        await sitting.press("escape", SLIP, "down")
        assert "▶2" in sitting.shown
        await sitting.press("enter", "up", "up", "up", "enter")
        assert "ONE LOOK" in sitting.shown
        await sitting.press("5", "tab")
        assert sitting.shown == by_key
        await sitting.press("right", "down", "enter")
        assert sitting.shown == mend
        await sitting.press("escape", SLIP, "4", "down", "down", "enter")
        reported = list(braid.journal.events(braid.piece, "slip_reported"))[-1].values
        assert (reported["place"], reported["saw"]) == (3, "gap")


async def test_enter_answers_a_look_only_where_a_choice_was_gone_to(sit: Sit) -> None:
    """At a look Enter alone means cannot tell; after down it is the first answer."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 30)
        for keys, answered in ((["enter"], None), (["down", "enter"], "gap")):
            await sitting.press(SLIP, "2", "d")
            screen = sitting.app.screen
            assert isinstance(screen, BenchScreen)
            assert isinstance(screen.mode, NotWhatISee)
            assert screen.mode.talk.case.inquiry is not None
            screen.mode.talk.case.inquiry.look = Look("braid", 1, 6, 5.0)
            await sitting.press(*keys)
            last = list(braid.journal.events(braid.piece, "look_answered"))[-1].values
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
        assert isinstance(screen.mode, NotWhatISee)
        for mend in screen.mode.talk.ways:
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
        await sitting.press("escape", "l", "l")
        braid = await braid_at(sitting, 76)
        await sitting.press(SLIP)
        assert "all 76 crosses are made" in sitting.shown.splitlines()[0]
        await sitting.press("escape")
        braid.set_place(30)
        await sitting.press(SLIP, "2", "d", "5", "tab", "3")
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
    ways = mends(PlannedStand(braid.plan, made), (slip,))
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
    """A bead of no load before the planned ones: both pages tell it, though the unknown leads."""
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[slips.rates]\nother = 0.5\n")
    async with sit() as sitting:
        await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "question_mark", "d", "d", "d")
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
        assert isinstance(screen.mode, NotSaved)
        under = screen.mode.under
        assert isinstance(under, NotWhatISee)
        told = list(under.talk.case.statements)
        await sitting.press("5")
        assert under.talk.case.statements == told
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
        assert isinstance(screen.mode, NotWhatISee)
        assert screen.mode.talk.case.inquiry is not None
        assert [seen.look.kind for seen in screen.mode.talk.case.inquiry.evidence] == [
            "next",
            "braid",
        ]


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
        reported = list(braid.journal.events(braid.piece, "slip_reported"))[-1].values
        assert reported["place"] == 32


async def test_a_wrong_bead_at_any_place_can_be_reported_and_is_found(sit: Sit) -> None:
    """What the look round the rim shows on a strand that is not carried takes three more keys."""
    async with sit() as sitting:
        braid = await braid_at(sitting, 44)
        place, scene = 8, PlannedStand(braid.plan, 44)
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
        assert isinstance(screen.mode, NotWhatISee)
        for number, mend in enumerate(screen.mode.talk.ways, 1):
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
        assert isinstance(screen.mode, NotWhatISee)
        for key in ("enter", "backspace"):
            told = len(screen.mode.talk.case.statements)
            await sitting.press(key)
            await sitting.press(key, seconds=0.1)
            assert abs(len(screen.mode.talk.case.statements) - told) == 1
            assert "second press ignored" in sitting.shown
        await sitting.press("tab", "r")
        await sitting.press(*"ddd", seconds=0.1)
        assert "3 are read off" in sitting.shown
        await sitting.press("enter", "1", "space")
        await sitting.press("space", seconds=0.1)
        assert (braid.made, braid.state.mended is None) == (30, False)


async def test_two_equal_digits_are_a_count(sit: Sit, home: Path) -> None:
    """Among sixteen strands 11 is typed as fast as the hand can; Enter is still taken once."""
    (home / "patterns").mkdir(parents=True)
    (home / "patterns" / "sixteen.toml").write_text(SIXTEEN, encoding="utf-8")
    async with sit() as sitting:
        await braid_at(sitting, 40, "sixteen")
        await sitting.press(SLIP, "2", "b")
        assert "0-15 answer" in sitting.shown
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        assert isinstance(screen.mode, NotWhatISee)
        talk = screen.mode.talk
        await sitting.press("1")
        await sitting.press("1", seconds=0.1)
        assert talk.typed == "11"
        assert "ignored" not in sitting.shown
        await sitting.press("enter")
        await sitting.press("enter", seconds=0.1)
        assert [told.answer for told in talk.case.statements] == ["b", 11]
        assert "second press ignored" in sitting.shown


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
        await sitting.press("d", "c")
        assert "letter answer" in sitting.shown
        await sitting.press("tab")
        foot = " ".join(sitting.shown.splitlines()[-2:])
        for part in (
            "ENTER 1-3 mend",
            "LEFT RIGHT",
            "TAB the look",
            "R read off",
            "BACKSPACE last",
        ):
            assert part in foot, foot


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24)])
async def test_which_piece_lies_there_is_asked_by_its_name(
    sit: Sit, width: int, height: int
) -> None:
    """The page names the piece and its beads; another one, told twice, is opened, not mended."""
    async with sit(width, height) as sitting:
        await braid_at(sitting, 10, "cistern")
        await sitting.press("l", "l")
        braid = await braid_at(sitting, 30)
        await sitting.press(SLIP, "2", "d")
        screen = sitting.app.screen
        assert isinstance(screen, BenchScreen)
        assert isinstance(screen.mode, NotWhatISee)
        assert screen.mode.talk.case.inquiry is not None
        screen.mode.talk.case.inquiry.look = Look("piece", 1, 6, 3.0)
        screen.look_again()
        await sitting.press("up")
        for words in ("Which piece lies", "Gutter Pearl", "rain grey 15/0", "1-2 answer"):
            assert words in sitting.shown
        await sitting.press("2")
        assert "Look again" in sitting.shown
        await sitting.press("2")
        answers = [e.values["answer"] for e in braid.journal.events(braid.piece, "look_answered")]
        assert answers == ["another", "another"]
        await sitting.press("tab")
        assert "another piece lies on the stand" in sitting.shown
