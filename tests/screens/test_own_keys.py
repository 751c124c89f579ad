from __future__ import annotations

from pathlib import Path

from .conftest import Sit

SETTINGS = """\
format = 1
[press]
guard_s = 0.0
[keys]
next = ["f13"]
leave = ["x"]
help = ["f1"]
open = ["f14"]
down = ["v"]
up = ["b"]
right = ["r"]
times = ["y"]
begin = ["z"]
new = ["f15"]
give_up = ["f16"]
close = ["f12"]
"""


async def test_own_keys_work_on_every_screen(sit: Sit, sixty: Path) -> None:
    """Keys from the settings lead through list, card, times, commission and bench.

    The usual keys that they stand for do nothing any more, and every foot names the maker's own.
    """
    (sixty / "settings.toml").write_text(SETTINGS)
    async with sit() as sitting:
        await sitting.app.workers.wait_for_complete()
        assert "B V choose   F14 open   Y times   F1 help   F12 close" in sitting.shown
        for usual in ("t", "h", "q", "down", "enter"):
            await sitting.press(usual)
            assert sitting.app.first.home.picked == 0
            assert sitting.app.screen is sitting.app.first
            assert "BRAID BENCH" in sitting.shown
        await sitting.press("f1")
        assert "HELP" in sitting.shown or "F14" in sitting.shown
        await sitting.press("f1", "y")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "YOUR TIMES" in sitting.shown
        assert "X back" in sitting.shown
        await sitting.press("r")
        assert "LOAD ONLY" in sitting.shown
        await sitting.press("l")
        assert "YOUR TIMES" in sitting.shown
        await sitting.press("x")
        await sitting.press("v")
        assert sitting.app.first.home.picked == 1
        await sitting.press("b", "f14")
        assert "F14 start" in sitting.shown
        await sitting.press("r", "r", "f14", "f13", "f13")
        assert "cross 3 of" in sitting.shown
        assert "F13 cross laid down" in sitting.shown
        await sitting.press("space", "l")
        assert "cross 3 of" in sitting.shown
        await sitting.press("x")
        assert sitting.app.screen is sitting.app.first
        while sitting.app.first.home.rows[sitting.app.first.home.picked].kind != "commission":
            await sitting.press("v")
        await sitting.press("f14")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "Z begin   " in sitting.shown
        assert "F14 begins piece" in sitting.shown
        await sitting.press("z")
        await sitting.pilot.pause()
        assert "with loading" in sitting.shown
        await sitting.press("x")
        await sitting.press("f12")
        assert not sitting.app.is_running
