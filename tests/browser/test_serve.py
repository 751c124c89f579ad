from __future__ import annotations

import os
from pathlib import Path

import pytest

from bench.journal.store import Journal
from bench.making.braid import unfinished

from .chromium import BROWSER, chromium, touched
from .visitors import served

pytestmark = pytest.mark.skipif(
    BROWSER is None, reason="no Chromium on this machine: the page cannot be touched"
)


def crosses(home: Path) -> list[int]:
    """The counts of the pieces in the making, as they are on disk."""
    with Journal.open(home / "journal.db", write=False) as reader:
        return [state.made for state in unfinished(reader)]


async def test_a_piece_is_begun_and_ten_crosses_are_made_by_touch(tmp_path: Path) -> None:
    """On a page of 768 by 1024 fingers start a piece and count ten crosses; they are on disk.

    The page asks no other host for anything, letters are large enough to touch, and a second
    page on the same journal opens to read and says so.
    """
    home = tmp_path / "home"
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0.0\n")
    pictures = os.environ.get("BRAID_BENCH_PICTURES")
    with served(home) as serving:
        async with chromium() as browser:
            tab = await touched(browser, serving.address, 768, 1024)
            await tab.wait_for("Gutter Pearl")
            assert tab.screen is not None
            assert tab.screen.width >= 60
            _, _, _, height = await tab.glass()
            assert height / tab.screen.height >= 24  # WCAG 2.2, success criterion 2.5.8, in px
            if pictures:
                await tab.page.screenshot(path=Path(pictures) / "list.png")
            await tab.touch("Gutter Pearl")
            await tab.wait_for("▶ Gutter Pearl")
            await tab.touch("Gutter Pearl")
            await tab.wait_for("begin with")
            if pictures:
                await tab.page.screenshot(path=Path(pictures) / "card.png")
            await tab.touch("start")
            await tab.wait_for("cross 1 of")
            for number in range(2, 12):
                await tab.touch("cross ")
                await tab.wait_for(f"cross {number} of")
                assert crosses(home) == [number - 1]
            if pictures:
                await tab.page.screenshot(path=Path(pictures) / "bench.png")
            # A page that is loaded anew waits for its program of before, and can write again.
            tab.screen = None
            await tab.page.reload()
            await tab.wait_for("10 crosses made")
            assert "Another braid-bench" not in tab.screen_text
            second = await touched(browser, serving.address, 768, 1024)
            await second.wait_for("Another braid-bench writes")
            assert crosses(home) == [10]
            assert tab.hosts == {serving.address.split("/")[2]}
            assert tab.complaints == []
    assert crosses(home) == [10]
