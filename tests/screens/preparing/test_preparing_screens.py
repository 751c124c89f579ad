from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from bench.commission.loading_tubes import OTHER_LOT
from bench.commission.tube_book import read_tubes
from bench.craft.cautions import GLASS
from bench.documents.library import Library
from bench.documents.settings import SHAPES, Settings
from bench.journal.events import new_id
from bench.journal.payloads import WeightsHung
from bench.journal.store import Journal
from bench.journal.tube_payloads import TubeTaken
from bench.making.braid import Braid
from bench.making.core_answer import core_beads
from bench.making.set_up_steps import steps_of
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.loading import Loading
from bench.screens.bench.screen import BenchScreen
from bench.screens.kit.large_letters import width_of
from bench.screens.lists.pace_screen import PaceScreen
from bench.screens.lists.pattern_pages import PatternPages
from bench.screens.preparing.loader import Loader
from bench.screens.preparing.measuring_screen import MeasureScreen
from tests.support.events import times_of

from ..bench.test_as_it_lies import found
from ..conftest import Sit, Sitting
from ..tour import settled

GROUPS = 7
"""Groups on each end of a Silver Eaves."""


def braid_of(sitting: Sitting) -> Braid:
    """The braid on the bench."""
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    return screen.braid


def proved(braid: Braid) -> list[int]:
    """The strands whose load was found right."""
    return list(braid.state.proved)


def at_list(sitting: Sitting) -> bool:
    """Whether the list is on the screen."""
    return sitting.app.screen is sitting.app.first


def beads_on(braid: Braid) -> dict[int, int]:
    """Beads on each strand's thread."""
    return {loaded.strand: loaded.beads for loaded in braid.state.loaded}


async def begin_loading(sitting: Sitting, name: str = "silver-eaves") -> Braid:
    """Start a piece of a pattern at its loading."""
    await sitting.begin(name, "loading")
    return braid_of(sitting)


async def load_drop(sitting: Sitting) -> None:
    """Press the next key until all four threads are full and proved."""
    for _ in range(4 * (2 * GROUPS + 1)):
        await sitting.press("space")


async def test_a_drop_is_loaded_proved_set_up_and_braided(sit: Sit, home: Path) -> None:
    """One key from the first group to the first cross; each moment says what it is for.

    A sign of the maker's own stands large for its bead, a field in the bead's colour beside it.
    """
    home.mkdir()
    (home / "settings.toml").write_text('format = 1\n[signs]\na = "triangle"\n')
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        assert "4 double lengths of 1.2" in sitting.shown
        assert "Glass splinters" in sitting.shown
        await sitting.press("space")
        assert "PUT ON THREE OF" in sitting.shown
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        canvas = bench.mode.draw(replace(bench.view(80, 24), colours=True))
        sign = f"3 {SHAPES['triangle']}"
        ((x, y),) = found(canvas, sign, 1)
        assert canvas.rows[y][x + width_of(sign) + 2] == ("█", braid.pattern.beads["a"].colour)
        assert "THE LEFT END goes to TOP, LEFT OF THE TWO" in sitting.shown
        assert "then 3 b, wet slate 11/0, round" in sitting.shown
        await sitting.press(*["space"] * GROUPS)
        assert "THE RIGHT END goes to BOTTOM, LEFT OF THE TWO" in sitting.shown
        assert "no needle left in it" in sitting.shown.replace("\n       ", " ")
        await sitting.press(*["space"] * GROUPS)
        assert "Every change must lie level" in sitting.shown
        assert "No needle left in the thread" in sitting.shown
        assert proved(braid) == []
        await sitting.press("space")
        assert proved(braid) == [1, 6]
        await sitting.press(*["space"] * (3 * (2 * GROUPS + 1)))
        assert "Count the needles in" in sitting.shown
        assert "“set 1, Silver Eaves”" in sitting.shown
        await sitting.press("space")
        assert str(braid.state.stage) == "set_up"
        seen = []
        for _ in range(5):
            seen.append(sitting.shown)
            await sitting.press("space")
        assert "Bare wire down through the centre first" in seen[0]
        assert "place 1, top, left of the two ↔ place 6, bottom, left of the two" in seen[1]
        assert "Weights: never over feet" in seen[2]
        assert "Counterweight on: 200 + 50 + 10 + 5 g" in seen[3]
        assert "no change is needed" in seen[3]
        assert "Only now that the weight hangs: tape off, then the bead clips" in seen[4]
        ((_, hung),) = braid.journal.each(WeightsHung, braid.piece)
        assert (hung.counterweight_g, sum(hung.weights_g)) == (265.0, 265.0)
        assert str(braid.state.stage) == "braid"
        await sitting.press("space", "space")
        assert braid.made == 2
        assert beads_on(braid) == dict.fromkeys(range(1, 9), 16)


async def test_loading_is_left_and_taken_up(sit: Sit, home: Path) -> None:
    """After leaving, and after closing the program, the same group is asked for."""
    async with sit() as sitting:
        await begin_loading(sitting)
        await sitting.press("space", *["space"] * 10)
        before = sitting.shown
        await sitting.press("l")
        assert "set 1  load" in sitting.shown
        await sitting.press("home", "enter")
        assert sitting.shown.splitlines()[1:12] == before.splitlines()[1:12]
    async with sit() as sitting:
        await sitting.press("enter")
        assert sitting.shown.splitlines()[1:12] == before.splitlines()[1:12]
    with Journal.open(home / "journal.db", write=False) as journal:
        held = [(e.values["strand"], e.values["beads"]) for e in journal.events(kind="loaded")]
    assert held == [(1, n) for n in (3, 6, 9, 12, 14, 15, 16)] + [(6, n) for n in (3, 6, 9)]


async def test_setting_up_is_left_and_taken_up(sit: Sit) -> None:
    """After leaving, and after closing the program, the same step of setting up is asked for."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves", "setting up")
        await sitting.press("space", "space", "space", "backspace")
        assert "step 3 of 5" in sitting.shown
        await sitting.press("l", "home", "enter")
        assert "step 3 of 5" in sitting.shown
        await sitting.press("l")
    async with sit() as sitting:
        await sitting.press("home", "enter")
        assert "step 3 of 5" in sitting.shown
        assert "■ Bare wire down" in sitting.shown
        await sitting.press("space", "space", "space")
        braid = braid_of(sitting)
        assert str(braid.state.stage) == "braid"
        assert braid.mark_due is None


async def test_a_thread_found_wrong_is_mended_before_it_counts(sit: Sit) -> None:
    """Not right is kept; a group taken off one end is strung again, and then it is proved anew."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("space", *["space"] * (2 * GROUPS), "exclamation_mark")
        assert "first change that is not level" in sitting.shown.replace("\n ", " ")
        await sitting.press("2")
        assert "PUT ON ONE OF" in sitting.shown
        assert "THE RIGHT END goes to BOTTOM, LEFT OF THE TWO" in sitting.shown
        await sitting.press("space", "space")
        assert proved(braid) == [1, 6]
        proofs = [e.values["right"] for e in braid.journal.events(braid.piece, "proved")]
        assert proofs == [False, False, True, True]


async def test_a_group_is_taken_off_and_a_proof_falls_with_it(sit: Sit) -> None:
    """Backspace takes the last group off, from a proved thread too, and its proof is struck."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("space", "space", "space", "backspace")
        assert beads_on(braid) == {1: 3}
        await sitting.press("backspace", "backspace")
        assert braid.state.tag is None
        await sitting.press(*["space"] * (2 * GROUPS + 2))
        assert proved(braid) == [1, 6]
        await sitting.press("backspace")
        assert proved(braid) == [1]
        assert beads_on(braid) == {1: 16, 6: 15}


async def test_a_second_press_puts_nothing_on(sit: Sit) -> None:
    """A press within half a second of the last is ignored and said, at the loading too."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("space", "space")
        await sitting.press("space", seconds=0.2)
        assert beads_on(braid) == {1: 3}
        assert "second press ignored" in sitting.shown


async def test_going_on_with_half_a_load_is_asked_for_twice(sit: Sit) -> None:
    """The mark key leaves the loading only when it is pressed once more."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("space", "space", "m")
        assert braid.state.stage == "load"
        assert "Not all is loaded and proved" in sitting.shown
        await sitting.press("m")
        assert str(braid.state.stage) == "set_up"


async def test_two_sets_in_a_batch(sit: Sit, home: Path) -> None:
    """The second set is a piece of its own; the first waits on the list and is braided later."""
    async with sit() as sitting:
        first = await begin_loading(sitting)
        await sitting.press("2", "space")
        assert "set 1, 1 of 2" in sitting.shown
        await load_drop(sitting)
        assert "load the next set" in sitting.shown
        await sitting.press("space")
        second = braid_of(sitting)
        assert second.piece != first.piece
        assert "set 2, 2 of 2" in sitting.shown
        await load_drop(sitting)
        assert "set it up on the stand" in sitting.shown
        await sitting.press("l")
        assert "set 1, 1 of 2  loaded" in sitting.shown
        assert "set 2, 2 of 2  loaded" in sitting.shown
        await sitting.pick(first.piece)
        await sitting.press("enter", seconds=3 * 3600.0)
        assert "Take the set that is tagged “set 1, Silver Eaves”" in sitting.shown
        await sitting.press("space")
        assert braid_of(sitting).piece == first.piece
        assert braid_of(sitting).state.stage == "set_up"
        await sitting.press(*["space"] * 5, "space")
        assert braid_of(sitting).made == 1
    with Journal.open(home / "journal.db", write=False) as journal:
        kinds = [e.kind for e in journal.events(first.piece)]
    assert kinds.count("loaded") == 8 * GROUPS
    assert kinds.count("proved") == 8


async def test_waiting_for_the_stand_is_not_counted_as_work(sit: Sit) -> None:
    """The time that a loaded set lies on the bench belongs to no stage."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("space")
        await load_drop(sitting)
        await sitting.press("l")
        await sitting.pick(braid.piece)
        await sitting.press("enter", seconds=1200.0)
        await sitting.press("space", *["space"] * 5)
        times = times_of(braid)
        assert times.stages["load"].hands_on_s == pytest.approx(20.0 * 62)
        assert times.stages["set_up"].hands_on_s == pytest.approx(20.0 * 5)


async def test_loading_pauses_without_stick_and_weight(sit: Sit) -> None:
    """At a pause the screen says which end is in hand; nothing hangs yet, so no stick is named."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("space", "space", "p")
        assert braid.state.paused
        assert "the end for top, left of the two, 3 beads on" in sitting.shown
        assert "tick in" not in sitting.shown
        await sitting.press("space")
        assert not braid.state.paused
        assert "PUT ON THREE OF" in sitting.shown


async def test_the_point_of_braiding_is_answered_in_grams(sit: Sit) -> None:
    """Too high adds, too low takes off; the look is kept with the piece."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        await sitting.press("space", "o")
        assert "too high" in sitting.shown
        await sitting.press("escape", "o", "1")
        assert "Add 15 g (on: 20; off: 5), then look again." in sitting.shown
        await sitting.press("enter", "o", "2")
        assert "Take off 15 g" in sitting.shown
        await sitting.press("enter", "o", "3", "enter", "space")
        assert braid.made == 2
        seen = [e.values["at"] for e in braid.journal.events(braid.piece, "point_seen")]
        assert seen == ["high", "low", "level"]


async def test_the_point_goes_no_further_than_is_usual(sit: Sit) -> None:
    """What was added stays on: after some steps up the screen says to look at the tension."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        for _ in range(3):
            await sitting.press("o", "1", "enter")
        await sitting.press("o", "1")
        assert "no step that your weights make" in sitting.shown


async def finish(sitting: Sitting, quality: str = "1") -> Braid:
    """Braid a drop to its end without measuring it."""
    await sitting.begin("silver-eaves")
    braid = braid_of(sitting)
    braid.set_place(braid.plan.crosses)
    while braid.mark_due is not None:
        braid.mark_done()
    await sitting.press("m", "m", "m", "m")
    await sitting.press(quality)
    return braid


async def test_a_finished_piece_is_measured_and_signed_off(sit: Sit) -> None:
    """Figures are typed, each may be skipped; the next prediction shifts and says so."""
    async with sit() as sitting:
        braid = await finish(sitting)
        assert isinstance(sitting.app.screen, MeasureScreen)
        assert "LENGTH" in sitting.shown
        await sitting.press("6", "0", "enter", "enter", "enter", "enter")
        assert "Is this piece the sample" in sitting.shown
        assert "no, or not yet; ENTER too" in sitting.shown
        await sitting.press("y")
        assert "length" in sitting.shown
        assert "from one piece measured" in sitting.shown
        assert "Signed off as the sample" in sitting.shown
        await sitting.press("space")
        assert at_list(sitting)
        (event,) = braid.journal.events(braid.piece, "measured")
        told = dict(event.values)
        assert 500 < float(str(told.pop("thread_cut_mm"))) < 700, "half of the cut that was told"
        assert told == {"length_mm": 60.0, "sample": True}
        await finish(sitting)
        await sitting.press(*["enter"] * 4)
        assert at_list(sitting), "the sample is asked for once"


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_the_sample_is_signed_off_later(sit: Sit, sixty: Path, size: tuple[int, int]) -> None:
    """From the pieces of a pattern a finished one is measured again; each figure stays."""
    async with sit(*size) as sitting:
        await sitting.press("t")
        await settled(sitting)
        await sitting.press("enter", "left")
        await settled(sitting)
        assert "M measure" in sitting.shown
        await sitting.press("m", "6", "4", "enter", "enter", "enter", "enter")
        assert "Is this piece the sample" in sitting.shown
        assert "pieces: M asks again." in sitting.shown
        await sitting.press("n", "space", "m", *["enter"] * 4, "y", "space")
        assert "M measure" in sitting.shown
        screen = sitting.app.screen
        assert isinstance(screen, PaceScreen)
        assert isinstance(screen.mode, PatternPages)
        times = screen.mode.courses[0].times
        assert sitting.app.journal is not None
        past = WorkedPattern.for_piece(
            Braid(sitting.app.journal, times.piece), sitting.app.settings
        ).calibration
        assert past.sample == f"{times.title}, Gutter Pearl"
        assert past.corrections.length.pieces == 1


async def test_measuring_is_left_with_one_key(sit: Sit) -> None:
    """Escape leaves all of it out; nothing is written. A piece given up is not measured."""
    async with sit() as sitting:
        braid = await finish(sitting)
        await sitting.press("escape")
        assert at_list(sitting)
        assert not list(braid.journal.events(braid.piece, "measured"))
        await finish(sitting, "3")
        await sitting.press("1")
        assert at_list(sitting)


async def test_beads_are_weighed_at_the_bench(sit: Sit) -> None:
    """Before loading some beads are weighed; what they weigh is kept and counts at once."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("tab", "c")
        assert "How many of c, pale cloud 8/0" in sitting.shown
        await sitting.press("enter", "9", "enter")
        assert "ENTER again if it is so" in sitting.shown
        await sitting.press("backspace", "0", "enter")
        assert "more than nothing" in sitting.shown
        await sitting.press("backspace", "1", "full_stop", "2", "enter")
        assert "Kept: 40 c weigh 1.2 g; one 29.9 mg." in sitting.shown
        (event,) = braid.journal.events(kind="bead_weighed")
        assert event.values["name"] == "pale cloud"
        assert (event.values["beads"], event.values["grams"]) == (40, 1.2)
        assert event.values["resolution_g"] == sitting.app.settings.stand.scale_g
        await sitting.press("escape", "space")
        assert "PUT ON" in sitting.shown
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        assert isinstance(bench.mode, Loading)
        assert len(bench.mode.loader.made.calibration.weighed) == 1


async def test_too_few_beads_for_the_scale_are_asked_for_again(sit: Sit) -> None:
    """Fewer than the scale weighs well are doubted once; digits tell of a finer scale."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        await sitting.press("tab", "c", "1", "0", "enter")
        assert "Too few to weigh well: the scale may be off by 17 %" in sitting.shown
        await sitting.press("enter", "full_stop", "3", "0", "enter")
        (event,) = braid.journal.events(kind="bead_weighed")
        assert (event.values["beads"], event.values["resolution_g"]) == (10, 0.01)


async def test_a_weighing_is_taken_back(sit: Sit) -> None:
    """Backspace goes back digit by digit, question by question, and takes what is kept back."""
    async with sit() as sitting:
        braid = await begin_loading(sitting)
        before = list(WorkedPattern.for_piece(braid, sitting.app.settings).calibration.weighed)
        await sitting.press("tab", "c", "5", "0", "enter", "backspace", "backspace", "5", "enter")
        assert "55 of c" in sitting.shown
        await sitting.press("1", "full_stop", "8", "enter")
        assert len(WorkedPattern.for_piece(braid, sitting.app.settings).calibration.weighed) == 1
        await sitting.press("backspace")
        assert "Taken back: what 55 c weighed." in sitting.shown
        assert (
            list(WorkedPattern.for_piece(braid, sitting.app.settings).calibration.weighed)
            == before
            == []
        )
        await sitting.press("backspace")
        assert "Nothing is kept that could be taken back" in sitting.shown


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_the_trays_hold_every_set_with_spare_culls_and_core(
    sit: Sit, home: Path, size: tuple[int, int]
) -> None:
    """For all sets chosen each tray says what to lay out, and what is needed of it and where.

    Of 328 good ones 42 more at 5 % lost and 4 % culled: scipy 1.17, nbinom.ppf(0.95, 328, 0.912).
    """
    home.mkdir()
    (home / "settings.toml").write_text("[thumb]\nspare_small = 0.05\nculls = 0.04\n")
    async with sit(*size) as sitting:
        await begin_loading(sitting)
        await sitting.press("8")
        assert "a 370 × 15/0" in sitting.shown
        assert ("(256 + 72 core)" in sitting.shown) == (size == (80, 24))
        assert GLASS in " ".join(sitting.shown.split())


async def test_two_digits_make_a_number_of_sets(sit: Sit) -> None:
    """One and two are twelve sets; what would be more than there can be begins anew."""
    async with sit() as sitting:
        await begin_loading(sitting)
        await sitting.press("1", "2")
        assert "◀ 12 ▶" in sitting.shown
        await sitting.press("5")
        assert "◀ 5 ▶" in sitting.shown
        await sitting.press("backspace")
        assert "◀ 1 ▶" in sitting.shown


async def test_a_cord_without_beads_begins_with_setting_up(sit: Sit) -> None:
    """There is nothing to load: what to cut is the first step at the stand."""
    async with sit() as sitting:
        braid = await begin_loading(sitting, "landing-cord")
        assert str(braid.state.stage) == "set_up"
        assert "16 single strands of" in sitting.shown


async def test_the_sample_is_named_by_its_pattern(sit: Sit) -> None:
    """A piece of a lot is a sample for its pattern, not for its own number in the lot."""
    async with sit() as sitting:
        await begin_loading(sitting)
        made = sitting.app.session.work_up("silver-eaves", None, None)
        braid = Braid.start(braid_of(sitting).journal, made, number=1)
        braid.finish("good")
        await sitting.app.push_screen(MeasureScreen(sitting.app, braid))
        await sitting.press(*["enter"] * 4)
        assert "the sample for Silver Eaves?" in sitting.shown


def test_weights_that_are_all_too_heavy_are_not_called_needless() -> None:
    """With one weight of 1 kg the stand asks for the grams; it never says that none are needed."""
    heavy = Settings.model_validate({"stand": {"weights_g": [1000]}})
    made = WorkedPattern.from_library(Library(Path("nowhere")), heavy, "silver-eaves")
    (step,) = (s for s in steps_of(made, heavy) if "WEIGHT" in s.word)
    assert step.word == "WEIGHT"
    assert step.do.startswith("Hang about 265 g")
    assert step.caution


def test_at_the_stand_only_the_needle_of_the_end_is_named() -> None:
    """When the clips come off, loading is over: the needle for dressing the ends is laid ready."""
    made = WorkedPattern.from_library(Library(Path("nowhere")), Settings(), "silver-eaves")
    ready = " ".join(steps_of(made, Settings())[-1].details)
    assert "For the end lay ready: needle no. 16." in ready
    assert "to load" not in ready


async def test_a_letter_that_names_a_bead_is_not_offered_as_help(sit: Sit) -> None:
    """Where H is a bead to weigh, the foot does not call it help; on the next page it is."""
    async with sit() as sitting:
        await sitting.begin("stair-rope", "loading")
        await sitting.press("tab")
        assert "Which bead do you weigh?" in sitting.shown
        assert "H help" not in sitting.shown
        await sitting.press("h")
        assert "How many of h" in sitting.shown
        assert "H help" in sitting.shown


def test_a_bead_thrown_out_is_drawn_with_its_group(home: Path) -> None:
    """X counts a bead of those in hand as thrown out: their tube gives one more; BACKSPACE none."""
    home.mkdir()
    made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
    with Journal.open(home / "journal.db", write=True) as journal:
        braid = Braid.start(journal, made, stage="load")
        loader = Loader.of(braid, Settings())
        loader.press("next", "")
        loader.press("", "x")
        assert "No tube of this bead is kept" in loader.said
        bead = made.pattern.beads["a"]
        taken = TubeTaken("beads", bead.name, 500, "2026-03-01", "bought", bead.size, bead.shape)
        journal.append(taken, pieces=new_id())
        loader = Loader.of(braid, Settings())
        loader.press("", "x")
        loader.press("back", "")
        assert loader.said == "None is thrown out."
        loader.press("", "x")
        loader.press("", "x")
        assert "2 beads a thrown out" in loader.said
        now = loader.loading.next
        assert now is not None
        loader.press("next", "")
        (tube,) = read_tubes(journal).values()
        rest = 500 - list(core_beads(made)).count("a") - 2
        assert tube.held == rest - now.count
        loader.press("back", "")
        (tube,) = read_tubes(journal).values()
        assert tube.held == 500 - 2, "what was thrown out stays drawn; nothing is on, so no core"
        assert "about 498 beads left" in loader.tube_words


async def test_where_tubes_are_kept_loading_names_their_keys(sit: Sit, home: Path) -> None:
    """The tube in hand is named, and the keys for an empty one and for a bead thrown out.

    When it is empty, all is said of the next one, at 80 by 24 too.
    """
    home.mkdir()
    with Journal.open(home / "journal.db", write=True) as journal:
        for lot in ("R11", "R12"):
            taken = TubeTaken("beads", "rain grey", 500, "2026-03-01", "bought", "15/0", "round")
            journal.append(replace(taken, dye_lot=lot), pieces=new_id())
    async with sit() as sitting:
        await begin_loading(sitting)
        await sitting.press("space")
        assert "TAB tube is empty   X bead out" in sitting.shown
        await sitting.press("x")
        assert "1 bead a thrown out" in sitting.shown
        await sitting.press("tab")
        assert "again: it is." in sitting.shown
        await sitting.press("tab")
        said = " ".join(sitting.shown.split())
        assert f", {OTHER_LOT}." in said
