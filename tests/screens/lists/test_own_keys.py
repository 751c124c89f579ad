from __future__ import annotations

from pathlib import Path

import pytest

from bench.documents.settings import Settings
from bench.screens.journal_watch import Watch
from bench.screens.kit.keys import Keys
from bench.screens.kit.view import View
from bench.screens.preparing.measuring_view import Measuring, draw_measuring

from ..conftest import Sit

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
measure = ["f11"]
"""


async def test_own_keys_work_on_every_screen(sit: Sit, sixty: Path) -> None:
    """Keys from the settings lead through list, card, times, commission and bench.

    The usual keys that they stand for do nothing any more, and every foot names the maker's own.
    """
    (sixty / "settings.toml").write_text(SETTINGS)
    async with sit() as sitting:
        await sitting.app.workers.wait_for_complete()
        assert (
            "B V choose   F14 open   F15 a new one   / find   Y times   F1 help   F12 close"
            in sitting.shown
        )
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
        await sitting.press("v", "v", "b", "f14")
        assert "F14 start" in sitting.shown
        await sitting.press("r", "r", "f14", "f13", "f13")
        assert "cross 3 of" in sitting.shown
        assert "F13 cross laid down" in sitting.shown
        await sitting.press("space", "l")
        assert "cross 3 of" in sitting.shown
        await sitting.press("x", "x")
        assert sitting.app.screen is sitting.app.first
        while sitting.app.first.home.rows[sitting.app.first.home.picked].kind != "commission":
            await sitting.press("v")
        await sitting.press("f14")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "Z begin with   " in sitting.shown
        assert "F14 begins piece" in sitting.shown
        await sitting.press("z")
        await sitting.pilot.pause()
        assert "with loading" in sitting.shown
        await sitting.press("x")
        await sitting.press("f12")
        assert not sitting.app.is_running


async def test_keys_can_change_places(sit: Sit, home: Path) -> None:
    """Two actions that take each other's keys both work, and letters count as capitals too."""
    home.mkdir()
    (home / "settings.toml").write_text(
        'format = 1\n[keys]\nup = ["j"]\ndown = ["k", "t"]\ntimes = ["u"]\n'
    )
    async with sit() as sitting:
        await sitting.press("k", "K", "t")
        assert sitting.app.first.home.picked == 3
        await sitting.press("j", "J")
        assert sitting.app.first.home.picked == 1
        await sitting.press("U")
        assert "YOUR TIMES" in sitting.shown


async def test_sentences_name_own_keys(
    sit: Sit, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sentence that says which key to press names the maker's own."""
    home.mkdir()
    (home / "settings.toml").write_text(SETTINGS)
    async with sit() as sitting:
        monkeypatch.setattr(Watch, "waiting", "3 changes")
        await sitting.press("f12")
        assert "F12 again closes, and keeps it in a file." in sitting.shown
    keys = Keys(Settings(keys={"measure": ("f11",)}))
    asking = Measuring((), asks_sample=True, what="Pearl")
    assert "pieces: F11 asks again." in draw_measuring(asking, View(80, 24, keys)).as_text()
