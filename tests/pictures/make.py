"""Makes the pictures of the README with the program itself: `python -m tests.pictures.make`."""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
from pathlib import Path

from textual.pilot import Pilot

from bench.documents.library import Library
from bench.journal.store import Journal
from bench.screens.app import BenchApp
from bench.screens.bench.screen import BenchScreen
from bench.screens.lists.pattern_card import PatternCard
from tests.support.clock import ManualClock
from tests.support.demo_journal import make_pieces

COLOURS = ("TEXTUAL_COLOR_SYSTEM", "truecolor")
HERE = Path(__file__).parent


async def make(folder: Path, size: tuple[int, int] = (80, 24), theme: str = "dark") -> None:
    """Go through the program on a journal of sixty simulated pieces; save the telling screens."""
    with tempfile.TemporaryDirectory() as home:
        (Path(home) / "settings.toml").write_text(
            f'format = 1\ntheme = "{theme}"\n[work]\nhourly_rate = 24\n'
        )
        clock = ManualClock()
        with Journal.open(Path(home) / "journal.db", write=True, clock=clock) as journal:
            make_pieces(journal, clock, Library(Path(home)), 60)
        app = BenchApp(Path(home), clock)
        async with app.run_test(size=size) as pilot:
            await settle(app, pilot)
            await prepare(app, pilot, folder)
            await braid(app, pilot, clock, folder)
            await finish(app, pilot, clock, folder)
            await load(app, pilot, clock, folder)


async def settle(app: BenchApp, pilot: Pilot[None]) -> None:
    """Wait until what other threads work out is on the screen."""
    for _ in range(3):
        await app.workers.wait_for_complete()
        await pilot.pause()


async def pick(app: BenchApp, pilot: Pilot[None], name: str) -> None:
    """Move to a line of the first screen."""
    await pilot.press("home")
    names = [row.ref for row in app.first.home.rows]
    await pilot.press(*["down"] * names.index(name))


async def open_card(app: BenchApp, pilot: Pilot[None], begin: str) -> None:
    """Open the picked pattern's card, and choose what to begin with."""
    await pilot.press("enter")
    card = app.first.mode
    assert isinstance(card, PatternCard)
    while card.choices[2].value != begin:
        await pilot.press("right")


async def prepare(app: BenchApp, pilot: Pilot[None], folder: Path) -> None:
    """Save the times, the commission, the list, the drawing board and a card."""
    await pilot.press("t")
    await settle(app, pilot)
    save(app, folder / "times.svg")
    await pilot.press("escape")
    await pick(app, pilot, "stair-window")
    await pilot.press("enter")
    await settle(app, pilot)
    save(app, folder / "commission.svg")
    await pilot.press("escape")
    await pick(app, pilot, "gutter-pearl")
    app.first.home.notices, app.first.home.news = (
        [],
        "",
    )  # what is told of this machine belongs into no picture
    app.first.redraw()
    while app.first.home.braid is None:
        await pilot.pause(0.05)
    save(app, folder / "list.svg")
    await draw(app, pilot, folder)
    await open_card(app, pilot, "braiding")
    save(app, folder / "card.svg")


async def draw(app: BenchApp, pilot: Pilot[None], folder: Path) -> None:
    """Save the picked pattern on the drawing board, and leave it as it was."""
    await pilot.press("d", *["down"] * 7, "right", "right")
    await settle(app, pilot)
    await pilot.pause(1.0)
    save(app, folder / "board.svg")
    await pilot.press("escape")
    await settle(app, pilot)


async def braid(app: BenchApp, pilot: Pilot[None], clock: ManualClock, folder: Path) -> None:
    """Braid a piece to a few telling moments, and save each."""
    await pilot.press("enter")
    screen = app.screen
    assert isinstance(screen, BenchScreen)
    held = screen.braid
    while held.made < 33:
        clock.advance(24)
        await pilot.press("space" if held.mark_due is None else "m")
        if held.mark_due is not None:
            save(app, folder / "mark.svg")
    save(app, folder / "bench.svg")
    clock.advance(20)
    await pilot.press("backspace")
    save(app, folder / "back.svg")
    clock.advance(20)
    await pilot.press("space", "f")
    save(app, folder / "place.svg")
    await pilot.press("escape", "exclamation_mark", "2", "d", "c")
    save(app, folder / "slip.svg")
    while screen.mode.asked:
        await pilot.press("escape")


async def finish(app: BenchApp, pilot: Pilot[None], clock: ManualClock, folder: Path) -> None:
    """Braid the piece to its end, let it dry and finish it, and begin to measure it."""
    screen = app.screen
    assert isinstance(screen, BenchScreen)
    held = screen.braid
    left = 2 * held.plan.crosses
    while held.next_step is not None or held.mark_due is not None:
        clock.advance(24)
        await pilot.press("space" if held.mark_due is None else "m")
        left -= 1
        assert left, f"a press is not counted:\n{screen.board.canvas.as_text()}"
    for seconds in (60, 2400, 900):
        clock.advance(seconds)
        await pilot.press("m")
    await pilot.press("1", *"61", "enter", *"11")
    save(app, folder / "measuring.svg")
    await pilot.press("escape", "enter")


async def load(app: BenchApp, pilot: Pilot[None], clock: ManualClock, folder: Path) -> None:
    """Load the first thread of another piece, then go on to the stand."""
    await pick(app, pilot, "silver-eaves")
    await open_card(app, pilot, "loading")
    await pilot.press("enter")

    async def on(times: int) -> None:
        for _ in range(times):
            clock.advance(6)
            await pilot.press("space")

    await on(3)
    save(app, folder / "loading.svg")
    await on(12)
    save(app, folder / "proving.svg")
    for _ in range(2):
        clock.advance(6)
        await pilot.press("m")
    await on(3)
    save(app, folder / "setting-up.svg")


def save(app: BenchApp, path: Path) -> None:
    """Save what the app shows; ids and outside fonts are taken out, so that it stays the same."""
    svg = app.export_screenshot(title="braid-bench")
    svg = re.sub(r"terminal-\d+", "t", svg)
    svg = re.sub(r"@font-face\s*\{.*?\}", "", svg, flags=re.S)
    path.write_text(svg, "utf-8")


if __name__ == "__main__":
    # Textual reads it as it is loaded: the pictures show what a terminal with colours shows.
    if os.environ.get(COLOURS[0]) != COLOURS[1]:
        os.environ.update([COLOURS])
        os.execv(sys.executable, [sys.executable, "-m", "tests.pictures.make"])
    asyncio.run(make(HERE))
