"""At the board: what a piece comes to, how its pattern came about, a card for a customer."""

from __future__ import annotations

from pathlib import Path

from bench.documents.pattern_versions import read_versions
from tests.screens.conftest import Sit

from .at_the_board import AtTheBoard


async def test_versions_are_told_with_their_reasons_and_a_card_is_written(
    sit: Sit, home: Path
) -> None:
    """Kept twice there are two versions; the reason that is typed stands with the last."""
    async with sit() as sitting:
        await sitting.pick("cistern")
        await sitting.press("c")
        at = AtTheBoard(sitting)
        await at.worked_out()
        await at.press("f")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "no price: no hourly rate is set" in sitting.shown
        assert "to buy for it: " in sitting.shown
        await at.press("v")
        assert "Its versions begin when it is kept" in sitting.shown
        await at.press("c")
        assert "Keep it first" in sitting.shown
        await at.press("escape", "k")
        await at.type("Cistern Two")
        await at.press("2", "k", "f", "v")
        assert "became b" in sitting.shown
        await at.press("w")
        await at.type("rim too pale")
        assert "rim too pale" in sitting.shown
        await at.press("c")
        await sitting.app.workers.wait_for_complete()
        await sitting.pilot.pause()
        assert "cistern-two.html" in sitting.shown
    versions, told = read_versions(home, "cistern-two")
    assert [one.why for one in versions] == ["", "rim too pale"]
    assert told == ()
    page = (home / "cards" / "cistern-two.html").read_text("utf-8")
    assert page.count("<section>") == 1
    assert "dusk" in page


async def test_a_version_that_cannot_be_noted_keeps_no_pattern_from_being_kept(
    sit: Sit, home: Path
) -> None:
    """The pattern is written, and the maker is told that its version is not."""
    (home / "patterns").mkdir(parents=True)
    (home / "patterns" / "versions").write_text("in the way")
    async with sit() as sitting:
        await sitting.pick("cistern")
        await sitting.press("c")
        at = AtTheBoard(sitting)
        await at.press("2", "k")
        await at.type("Cistern Two")
        assert "Kept as cistern-two" in sitting.shown
        assert "The version" in sitting.shown
    assert (home / "patterns" / "cistern-two.toml").exists()
