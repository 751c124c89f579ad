"""A walk through every screen of the app, for checks that must hold on all of them."""

from __future__ import annotations

import contextlib
import time
from collections.abc import AsyncIterator
from pathlib import Path

from textual.worker import WorkerCancelled

from bench.screens.bench.rest_offered import RestOffered
from bench.screens.bench.screen import BenchScreen
from bench.screens.drawing.screen import DrawingScreen
from bench.screens.lists.sheet_screen import SheetScreen
from bench.screens.preparing.measuring_screen import MeasureScreen
from tests.support.events import record

from .conftest import Sitting
from .drawing.at_the_board import AtTheBoard

SHOP_PARTS = (
    "money", "pieces", "tags", "recipe cards", "hanging", "rates", "tubes",
    "another bench",
)  # fmt: skip


async def settled(sitting: Sitting) -> None:
    """Wait until what other threads work out is on the screen; those that a key ended are gone."""
    for _ in range(3):
        with contextlib.suppress(WorkerCancelled):
            await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()


async def walk(sitting: Sitting, home: Path) -> AsyncIterator[str]:
    """Go through every screen; yields the name of each while it is up.

    The journal is to hold finished pieces, so that times and commission have something to show.
    """
    for part in (_lists, _drawing, _times, _commission, _preparing, _braiding, _ending):
        async for name in part(sitting):
            await sitting.pilot.pause()
            yield name
    async for name in _troubles(sitting, home):
        await sitting.pilot.pause()
        yield name


async def _lists(sitting: Sitting) -> AsyncIterator[str]:
    await settled(sitting)
    yield "the list"
    await sitting.press("h")
    yield "help of the list"
    await sitting.press("h")
    await sitting.pick("gutter-pearl")
    await sitting.press("enter")
    yield "a pattern's card"
    await sitting.press("escape")


async def _worked_out(sitting: Sitting) -> None:
    """Wait for the figures of what the board shows: they follow a while behind the last key."""
    if isinstance(sitting.app.screen, DrawingScreen):
        await AtTheBoard(sitting).worked_out()


async def _drawing(sitting: Sitting) -> AsyncIterator[str]:
    await sitting.pick("gutter-pearl")
    await sitting.press("c")
    await _worked_out(sitting)
    yield "the board"
    await sitting.press("w", "b", "down", "right")
    yield "the board, with a block"
    pages = {
        "s": "the board, sizes", "e": "the board, exchanges", "r": "the board, rows",
        "z": "the board, making a size", "v": "the board, what is shown",
        "m": "the board, a motif", "a": "the board, appearances", "c": "the board, colours",
        "t": "the board, colourways", "f": "the board, figures",
    }  # fmt: skip
    for key, name in pages.items():
        await sitting.press(key)
        await settled(sitting)
        await _worked_out(sitting)
        yield name
        await sitting.press("escape")
    patterns = sitting.app.library.home / "patterns"
    patterns.write_text("no folder", "utf-8")
    await sitting.press("k", *"own", "enter")
    yield "the board, not saved"
    patterns.unlink()
    await sitting.press("o", "enter")
    await settled(sitting)
    yield "the board, a shape"
    await sitting.press("escape", "l")
    yield "a line at the board"
    await sitting.press("escape", "escape", "escape")
    await sitting.press("n", "n")
    yield "the board, structures"
    await sitting.press("escape", "escape")


async def _times(sitting: Sitting) -> AsyncIterator[str]:
    await sitting.press("t")
    await settled(sitting)
    yield "times"
    await sitting.press("enter")
    await settled(sitting)
    for _ in range(3):
        yield "times of a pattern"
        await sitting.press("right")
    await sitting.press("enter")
    yield "gaps of a piece"
    await sitting.press("escape", "escape", "escape")


async def _commission(sitting: Sitting) -> AsyncIterator[str]:
    await sitting.pick("stair-window")
    await sitting.press("enter")
    await settled(sitting)
    for page in "1234567":
        await sitting.press(page)
        await settled(sitting)
        yield f"commission, page {page}"
    for part in range(len(SHOP_PARTS)):
        await sitting.press("home", *["down"] * part, "enter")
        await settled(sitting)
        yield f"commission, {SHOP_PARTS[part]}"
        await sitting.press("escape")
    lines = [f"PIECE {number}" for number in range(1, 80)]
    sitting.app.push_screen(SheetScreen(sitting.app, "a sheet", lambda width: lines))
    await settled(sitting)
    yield "a sheet"
    await sitting.press("escape", "escape")


async def _preparing(sitting: Sitting) -> AsyncIterator[str]:
    await sitting.begin("cistern", "loading")
    yield "how many sets"
    await sitting.press("tab")
    yield "which bead is weighed"
    await sitting.press("c")
    yield "how many are weighed"
    await sitting.press("enter")
    yield "what they weigh"
    await sitting.press("escape", "escape")
    await sitting.press("2", *["space"] * 3)
    yield "loading"
    await sitting.press("p")
    yield "a pause in loading"
    await sitting.press("p", *["space"] * 10)
    yield "proving"
    await sitting.press("exclamation_mark")
    yield "found wrong"
    await sitting.press(*["space"] * (1 + 3 * 13))
    yield "a loaded set"
    await sitting.press("l", "home", "enter")
    yield "a set that waits"
    await sitting.press("space")
    for number in range(1, 6):
        yield f"setting up, step {number}"
        await sitting.press("space")
    await sitting.press("o")
    yield "the point of braiding"
    await sitting.press("1")
    yield "the point of braiding, in grams"
    await sitting.press("enter", "l", "l")


async def _braiding(sitting: Sitting) -> AsyncIterator[str]:
    await sitting.begin("gutter-pearl")
    yield "the bench, plain"
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    bench: BenchScreen = screen
    for key, name in (("h", "help"), ("n", "a note"), ("exclamation_mark", "not what I see")):
        await sitting.press(key)
        yield name
        if sitting.app.screen is not bench or bench.help or bench.mode.asked:
            await sitting.press("escape")
    while bench.braid.mark_due is None:
        await sitting.press("space")
    yield "a mark"
    await sitting.press("m")
    bench.braid.set_place(33)
    while bench.braid.mark_due is not None:
        bench.braid.mark_done()
    await sitting.press("space")
    yield "the bench, beads"
    now = time.monotonic()
    bench.stalls.beat(now + 3.0)
    bench.look_again()
    yield "the bench, after a stall"
    bench.stalls.heard(now + 60.0)
    if sitting.app.size.width >= 80:
        await sitting.press("r")
        yield "the bench, a row a press"
        await sitting.press("r")
    async for name in _slip(sitting, bench):
        yield name
    await sitting.press("backspace")
    yield "taking back"
    await sitting.press("space", "f")
    yield "the first look"
    await sitting.press("5", "enter")
    yield "the second look"
    await sitting.press("1")
    yield "the third look"
    await sitting.press("enter")
    yield "a place found"
    await sitting.press("escape", "p")
    yield "a pause"
    await sitting.press("l", "enter")
    yield "the return"
    await sitting.press("p")
    sitting.clock.advance(3600)
    bench = sitting.app.screen
    assert isinstance(bench, BenchScreen)
    bench.look_at_clock()
    yield "away"
    bench.close()
    bench.open(RestOffered(bench, "The row is done."))
    bench.look_again()
    yield "a rest offered"
    await sitting.press("l", "l")


async def _slip(sitting: Sitting, bench: BenchScreen) -> AsyncIterator[str]:
    await sitting.press("exclamation_mark")
    yield "a report"
    await sitting.press("3")
    yield "which strand"
    await sitting.press("backspace", "4")
    yield "which line"
    await sitting.press("backspace", "2")
    yield "which bead"
    await sitting.press("d")
    yield "a look"
    await sitting.press("5")
    yield "what it may be"
    await sitting.press("tab")
    yield "what can be done"
    await sitting.press("1")
    yield "a mend"
    await sitting.press("backspace", "r", "c")
    yield "a strand read off"
    await sitting.press("escape")
    record(bench.braid, "sew_in", {"strand": 1, "cross": bench.braid.made + 1, "bead": "c"})
    await sitting.press("exclamation_mark", "8")
    yield "sewn in"
    await sitting.press("1")


async def _ending(sitting: Sitting) -> AsyncIterator[str]:
    await sitting.press("home", "g")
    yield "why it is given up"
    await sitting.press("escape", "i")
    yield "a piece's page"
    await sitting.press("escape", "home", "enter", "p")
    bench = sitting.app.screen
    assert isinstance(bench, BenchScreen)
    bench.braid.set_place(bench.braid.plan.crosses)
    while bench.braid.mark_due is not None:
        bench.braid.mark_done()
    bench.look_again()
    yield "all crosses made"
    for stage in ("load", "set_up", "dry", "finish"):
        bench.braid.go_to_stage(stage)
        bench.look_again()
        yield f"stage {stage}"
    await sitting.app.push_screen(MeasureScreen(sitting.app, bench.braid))
    await sitting.pilot.pause()
    yield "measuring"
    await sitting.press("6", "2", "enter")
    yield "measuring, the next figure"
    await sitting.press("escape")
    yield "what was measured"
    await sitting.press("enter")
    await sitting.press("m")
    yield "how it came out"
    await sitting.press("escape")
    yield "all stages done"
    await sitting.press("l")


async def _troubles(sitting: Sitting, home: Path) -> AsyncIterator[str]:
    await sitting.begin("landing-cord")
    yield "the bench, without beads"
    gone = home.rename(home.with_name("gone"))
    home.write_text("a file where the folder was")
    try:
        await sitting.press("space")
        yield "not saved"
        await sitting.press("space", "space")
        yield "the bench, not saved"
    finally:
        home.unlink()
        gone.rename(home)
    await sitting.press("space")
