"""The drawing board by its keys."""

from __future__ import annotations

import asyncio
import tomllib
from pathlib import Path

from bench.documents.library import Library
from bench.screens.drawing.screen import DrawingScreen
from tests.screens.conftest import Sit, Sitting


def board_of(sitting: Sitting) -> DrawingScreen:
    """The board that is up."""
    screen = sitting.app.screen
    assert isinstance(screen, DrawingScreen)
    return screen


async def worked_out(sitting: Sitting) -> None:
    """Wait until the figures have followed."""
    drawing = board_of(sitting).drawing
    for _ in range(500):
        if drawing.worked is not None and drawing.worked.sheet is drawing.sheet:
            return
        await asyncio.sleep(0.01)
        await sitting.pilot.pause()
    raise AssertionError("the figures never followed")


async def type_in(sitting: Sitting, text: str) -> None:
    """Type a text in place of what stands in the line."""
    await sitting.press("ctrl+u", seconds=0)
    names = {" ": "space", "(": "left_parenthesis", ")": "right_parenthesis", "-": "minus"}
    await sitting.press(*(names.get(ch, ch) for ch in text), seconds=0)


async def test_a_pattern_is_copied_painted_taken_back_kept_and_braided(
    sit: Sit, home: Path
) -> None:
    """A shipped drop is copied, two beads are laid, one taken back, kept as TOML, and begun."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        await sitting.press("c")
        await worked_out(sitting)
        assert "a sketch, not kept yet" in sitting.shown
        before = board_of(sitting).drawing.sheet
        await sitting.press("2", "down", "3", "u", seconds=0)
        sheet = board_of(sitting).drawing.sheet
        strand = board_of(sitting).drawing.cell.strand
        assert [n for n in range(1, 9) if sheet.loads[n - 1] != before.loads[n - 1]] == [strand]
        assert sheet.loads[strand - 1] == "b" + before.loads[strand - 1][1:]
        await sitting.press("k", seconds=0)
        await type_in(sitting, "Cistern Two")
        await sitting.press("enter", seconds=0)
        assert "kept as cistern-two" in sitting.shown
        file = home / "patterns" / "cistern-two.toml"
        kept = tomllib.loads(file.read_text("utf-8"))
        assert kept["title"] == "Cistern Two"
        assert Library(home).plan(file).loads == sheet.loads
        await sitting.press("p", seconds=0)
        assert "CISTERN TWO" in sitting.shown
