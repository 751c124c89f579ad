"""What tests of the drawing board press and look at."""

from __future__ import annotations

import asyncio

from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.screen import DrawingScreen
from tests.screens.conftest import Sitting

NAMES = {
    " ": "space", "(": "left_parenthesis", ")": "right_parenthesis", "-": "minus",
    "/": "slash", "#": "number_sign", ".": "full_stop", "!": "exclamation_mark",
}  # fmt: skip
"""Signs by the names that keys have."""


class AtTheBoard:
    """A sitting at the drawing board; counts the keys that are pressed."""

    def __init__(self, sitting: Sitting) -> None:
        self.sitting = sitting
        self.presses = 0

    @property
    def screen(self) -> DrawingScreen:
        """The board that is up."""
        screen = self.sitting.app.screen
        assert isinstance(screen, DrawingScreen)
        return screen

    @property
    def drawing(self) -> Drawing:
        """What is on the board."""
        return self.screen.drawing

    async def press(self, *keys: str) -> None:
        """Press keys one after the other."""
        self.presses += len(keys)
        await self.sitting.press(*keys, seconds=0)

    async def type(self, text: str) -> None:
        """Type a text, a key for each sign, and Enter."""
        await self.press(*(NAMES.get(sign, sign) for sign in text), "enter")

    async def worked_out(self) -> None:
        """Wait until the figures have followed the last key."""
        for _ in range(500):
            drawing = self.drawing
            if drawing.worked is not None and drawing.worked.sheet is drawing.sheet:
                return
            await asyncio.sleep(0.01)
            await self.sitting.pilot.pause()
        raise AssertionError("the figures never followed")
