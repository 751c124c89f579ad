"""A touch on what is just going is none."""

from __future__ import annotations

import pytest
from textual.events import MouseDown
from textual.geometry import Offset

from bench.screens.kit.line_screen import LineInput

from .conftest import Sit


async def test_a_press_on_a_line_that_is_gone_ends_nothing(
    sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The line of a search may go between the press and what is made of it."""
    async with sit() as sitting:
        screen, gone = sitting.app.screen, LineInput(40)
        found = (gone, Offset(0, 0))
        monkeypatch.setattr(screen, "get_widget_and_offset_at", lambda x, y: found)
        press = MouseDown(None, 64, 22, 0, 0, 1, shift=False, meta=False, ctrl=False)
        screen._forward_event(press)
        await sitting.press("down")
        assert "PATTERNS" in sitting.shown
