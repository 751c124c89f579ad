"""A terminal of any size, however odd."""

from __future__ import annotations

from pathlib import Path

from bench.screens.kit.board_screen import LEAST_HEIGHT, LEAST_WIDTH, BoardScreen

from .conftest import Sit
from .tour import walk

SIZES = (
    (LEAST_WIDTH, LEAST_HEIGHT), (LEAST_WIDTH, 60), (300, LEAST_HEIGHT), (300, 90), (73, 21),
)  # fmt: skip


async def test_every_screen_is_drawn_at_any_size(sit: Sit, sixty: Path) -> None:
    """At every stop of the walk through all screens, each odd size is drawn without a fault."""
    (sixty / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0.0\n")
    drawn = 0
    async with sit(80, 24) as sitting:
        async for name in walk(sitting, sixty):
            screen = sitting.app.screen
            assert isinstance(screen, BoardScreen)
            for width, height in SIZES:
                canvas = screen.draw(width, height)
                assert (canvas.width, canvas.height) == (width, height), name
                assert {len(row) for row in canvas.rows} == {width}, name
                drawn += 1
    assert drawn > 100


async def test_a_terminal_of_one_cell_breaks_nothing(sit: Sit) -> None:
    """Shrunk to a cell and grown again, every key on the way works as ever."""
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        await sitting.pilot.resize_terminal(1, 1)
        await sitting.press("space", "n", "x", "escape", "space")
        await sitting.pilot.resize_terminal(80, 24)
        await sitting.pilot.pause(0.2)
        assert "cross 3 of 72" in sitting.shown
