from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

from bench.journal import payloads as p
from bench.making.braid import Braid
from bench.screens.bench.screen import BenchScreen
from bench.screens.lists.piece_screen import PieceScreen

from ..conftest import Sit, Sitting

ZONE = dt.timezone(dt.timedelta(minutes=60))
"""That of the tests' clock."""


def braid_of(sitting: Sitting) -> Braid:
    """The braid on the bench, which must be up."""
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    return screen.braid


async def end_one(sitting: Sitting, *answers: str) -> Braid:
    """Bring a drop to the question how it came out, and answer."""
    await sitting.begin("silver-eaves")
    braid = braid_of(sitting)
    braid.set_place(braid.plan.crosses)
    while braid.mark_due is not None:
        braid.mark_done()
    await sitting.press("m", "m", "m", "m", *answers)
    return braid


async def test_how_a_piece_came_out_is_taken_back_at_once(sit: Sit) -> None:
    """Backspace at the first measure asks again how it came out; the last answer holds."""
    async with sit() as sitting:
        braid = await end_one(sitting, "1")
        assert braid.state.status == "good"
        await sitting.press("backspace")
        assert braid.state.open
        assert "How did it come out?" in sitting.shown
        await sitting.press("2")
        assert "1  a bead too few" in sitting.shown
        await sitting.press("3", "escape")
        assert (braid.state.status, braid.state.reason) == ("second", "a soft belly")


async def test_a_piece_that_waits_to_be_judged_asks_at_once(sit: Sit) -> None:
    """Left at the question it says so on the list; Enter asks again; Backspace is a stage back."""
    async with sit() as sitting:
        braid = await end_one(sitting, "escape")
        assert "finished: how did it come out?" in sitting.shown
        await sitting.press("enter")
        assert "How did it come out?" in sitting.shown
        await sitting.press("backspace")
        assert braid.state.stage == "finish"


async def test_a_second_asks_why_and_is_no_sample(sit: Sit) -> None:
    """The reason is one key, kept with the piece; the sample is not asked for of a second."""
    async with sit() as sitting:
        braid = await end_one(sitting, "2", "escape")
        assert braid.state.open, "left at the reasons, nothing is said"
        await sitting.press("2", "0", *"crooked", "enter")
        assert (braid.state.status, braid.state.reason) == ("second", "crooked")
        await sitting.press("5", "5", *["enter"] * 4)
        assert "the sample" not in sitting.shown
        assert not braid.state.sample


async def test_a_piece_page_takes_choices_back(sit: Sit) -> None:
    """The sample's sign-off and how it came out are taken back by a number, in that order."""
    async with sit() as sitting:
        braid = await end_one(sitting, "1")
        await sitting.press("5", "5", *["enter"] * 4, "y", "enter")
        assert braid.state.sample
        sitting.app.show_piece(braid.piece)
        await sitting.pilot.pause()
        assert isinstance(sitting.app.screen, PieceScreen)
        assert "It is good; signed off as the sample." in sitting.shown
        await sitting.press("1")
        assert "take that back first" in sitting.shown
        await sitting.press("3")
        assert not braid.state.sample
        assert "length_mm" not in sitting.shown
        assert "Measured: long, mm 55" in sitting.shown
        await sitting.press("1")
        assert braid.state.open
        assert "How did it come out?" in sitting.shown


async def test_a_sample_that_a_piece_rests_on_stays(sit: Sit) -> None:
    """Once a piece of its kind was begun after it, the sign-off is not taken back, and why."""
    async with sit() as sitting:
        braid = await end_one(sitting, "1")
        await sitting.press("5", "5", *["enter"] * 4, "y", "enter")
        await sitting.begin("silver-eaves")
        await sitting.press("space", "l", "l")
        sitting.app.show_piece(braid.piece)
        await sitting.press("3")
        assert "was begun since and is planned by it" in sitting.shown
        assert braid.state.sample


async def test_a_tag_is_taken_back_until_the_next_set_is_begun(sit: Sit) -> None:
    """Backspace with nothing on asks again how many sets, unless the next one is begun."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves", "loading")
        braid = braid_of(sitting)
        await sitting.press("4", "space")
        assert braid.state.batch is not None
        assert braid.state.batch.sets == 4
        await sitting.press("backspace")
        assert braid.state.tag is None
        await sitting.press("2", "space")
        batch = braid.state.batch
        assert batch is not None
        assert batch.sets == 2
        braid.start_another(dataclasses.replace(batch, number=batch.number + 1, place=2), None)
        await sitting.press("backspace")
        assert "The next set of its batch is begun" in sitting.shown
        assert braid.state.batch == batch


async def test_the_end_of_a_stage_is_taken_back(sit: Sit) -> None:
    """Backspace leads from the first cross to setting up, and from there to loading.

    A set that waits goes back to its loading, too.
    """
    async with sit() as sitting:
        await sitting.begin("silver-eaves", "loading")
        braid = braid_of(sitting)
        await sitting.press("space", "m", "m", *["m"] * 5)
        assert braid.state.stage == "braid"
        await sitting.press("backspace")
        assert str(braid.state.stage) == "set_up"
        while str(braid.state.stage) == "set_up":
            await sitting.press("backspace")
        assert str(braid.state.stage) == "load"
        braid.lay_aside()
        await sitting.press("l", "home", "enter")
        assert braid.state.stage is None
        await sitting.press("backspace")
        assert str(braid.state.stage) == "load"
        braid.go_to_stage("braid")
        await sitting.press("space", "space", "backspace", "backspace", "backspace")
        assert str(braid.state.stage) == "braid", "crosses were made"


async def test_notes_stand_under_their_key_and_on_the_page(sit: Sit, home: Path) -> None:
    """An earlier note stands above the line of the next one, and on the piece's page."""
    async with sit() as sitting:
        await sitting.begin("cistern")
        braid = braid_of(sitting)
        await sitting.press("n", *"thread is stiff", "enter")
        await sitting.press("n")
        assert "thread is stiff" in sitting.shown
        await sitting.press(*"row 3 sits high", "enter", "l", "l", "i")
        assert "thread is stiff" in sitting.shown
        assert "row 3 sits high" in sitting.shown
        await sitting.press("n", *"again", "enter")
        assert "again" in sitting.shown
        texts = [said.text for _, said in braid.journal.each(p.Note)]
        assert texts == ["thread is stiff", "row 3 sits high", "again"]


async def test_notes_are_found_on_the_card_and_in_the_commission(sit: Sit) -> None:
    """What was noted at a piece of a lot stands on its pattern's card and among the notes."""
    async with sit() as sitting:
        await sitting.pick("stair-window")
        await sitting.press("enter")
        for _ in range(3):
            await sitting.app.workers.wait_for_complete()
            await sitting.pilot.pause()
        await sitting.press("enter")
        assert braid_of(sitting).state.lot == "Eaves, grey"
        await sitting.press("n", *"core sits low", "enter", "escape", "escape")
        await sitting.press("5")
        assert "core sits low" in sitting.shown
        await sitting.press("l")
        await sitting.pick("silver-eaves")
        await sitting.press("enter", "page_down", "page_down")
        assert "notes kept with its pieces:" in sitting.shown
        assert "core sits low" in sitting.shown


async def test_the_list_says_until_when_a_piece_dries(sit: Sit) -> None:
    """A piece that dries says its time of day on the list, and afterwards since when it is dry."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        braid = braid_of(sitting)
        braid.set_place(braid.plan.crosses)
        while braid.mark_due is not None:
            braid.mark_done()
        await sitting.press("m", seconds=60.0)
        assert str(braid.state.stage) == "dry"
        begun = dt.datetime.fromtimestamp(braid.state.last_wall, ZONE)
        dry = f"{begun + dt.timedelta(minutes=30):%H:%M}"
        await sitting.press("escape", "escape", seconds=1.0)
        assert f"dries until {dry}" in sitting.shown
        await sitting.press("t", "l", seconds=1800.0)
        assert f"is dry since {dry}" in sitting.shown
