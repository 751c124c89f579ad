"""A customer's card on paper: printed at 100 % it is as large as the braid."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.cli import main
from tests.browser.chromium import BROWSER, chromium
from tests.browser.printed import pdf_of, sheets, spots_mm

PATTERN = """
format = 1
title = "Two"
structure = "kongo-8"
[threads]
diameter_mm = 0.13
[beads.a]
size = "8/0"
colour = "#ffffff"
name = "milk"
[beads.b]
size = "8/0"
colour = "#ff00ff"
name = "one"
[loads]
all = "9a"
3 = "4a b 4a"
7 = "4a b 4a"
"""
BEAD_MM = 3.0
"""An 8/0 bead, by the table of sizes."""


@pytest.mark.skipif(BROWSER is None, reason="no Chromium here")
async def test_a_printed_bead_is_as_large_as_the_bead(tmp_path: Path) -> None:
    """On A4 and on Letter, on one page: beads of 3.00 mm within 0.05, and the line for checking."""
    (tmp_path / "two.toml").write_text(PATTERN)
    page = tmp_path / "card.html"
    words = ["card", str(tmp_path / "two.toml"), "--html", str(page), "--home", str(tmp_path)]
    assert main(words) == 0
    async with chromium() as browser:
        pages = [sheet for paper in ("A4", "Letter")
                 for sheet in sheets(await pdf_of(browser, page, paper))]  # fmt: skip
    assert len(pages) == 2
    for sheet in pages:
        spots = spots_mm(sheet, "#ff00ff", "#8c008c")
        whole = [spot for spot in spots if max(spot) > BEAD_MM * 0.9]
        assert len(whole) == 2, spots
        for wide, high in whole:
            assert wide == pytest.approx(BEAD_MM, abs=0.05)
            assert high == pytest.approx(BEAD_MM, abs=0.05)
        (line, ticks), *_ = spots_mm(sheet, "#000000")
        assert line == pytest.approx(50.2, abs=0.1)
        assert ticks == pytest.approx(3.0, abs=0.1)
