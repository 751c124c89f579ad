"""A terminal of one cell."""

from __future__ import annotations

from .conftest import Sit


async def test_a_terminal_of_one_cell_breaks_nothing(sit: Sit) -> None:
    """Shrunk to a cell and grown again, every key on the way works as ever."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.pilot.resize_terminal(1, 1)
        await sitting.press("space", "n", "x", "escape", "space")
        await sitting.pilot.resize_terminal(80, 24)
        await sitting.pilot.pause(0.2)
        assert "cross 3 of 72" in sitting.shown
