"""A line of text is typed or pasted with a cursor, and given away once."""

from __future__ import annotations

import pytest
from textual import events

from bench.screens.kit.line_screen import one_line
from bench.screens.kit.text_entry import TextEntry

from ..conftest import Sit, Sitting


async def ask(sitting: Sitting, kept: list[str], most: int = 20) -> TextEntry:
    """Put the page up."""
    entry = TextEntry(sitting.app, "NOTE", "what do you want to keep?", most, kept.append)
    await sitting.app.push_screen(entry)
    await sitting.pilot.pause()
    return entry


async def paste(sitting: Sitting, text: str) -> None:
    """Paste a text as a terminal with bracketed paste does."""
    sitting.app.post_message(events.Paste(text))
    await sitting.pilot.pause()


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("two\nlines\r\nand a\ttab", "two lines and a tab"),
        ("bell\x07 and escape\x1b[31m", "bell and escape[31m"),
        ("right to left \u202e here", "right to left  here"),
    ],
)
def test_a_pasted_text_becomes_one_plain_line(text: str, line: str) -> None:
    """Breaks become blanks; what would steer the terminal is left out."""
    assert one_line(text) == line


async def test_the_cursor_moves_in_a_line(sit: Sit) -> None:
    """A letter goes in where the cursor stands, and Enter keeps the whole line, once."""
    kept: list[str] = []
    async with sit() as sitting:
        await ask(sitting, kept)
        await sitting.press("a", "c", "left", "b", "enter")
        assert kept == ["abc"]
        assert sitting.app.screen is sitting.app.first


async def test_a_second_enter_takes_nothing_more(sit: Sit) -> None:
    """Enter and Escape that come while the page is going take no other page away."""
    kept: list[str] = []
    async with sit() as sitting:
        entry = await ask(sitting, kept)
        await sitting.press("a")
        for late in (entry.on_input_submitted, entry.on_input_submitted, entry.action_leave):
            late()
        await sitting.pilot.pause()
        assert kept == ["a"]
        assert sitting.app.screen is sitting.app.first


async def test_a_paste_fills_the_room_that_is_left(sit: Sit) -> None:
    """A paste that is too long is cut, not dropped, and the page says how much room there is."""
    kept: list[str] = []
    async with sit() as sitting:
        await ask(sitting, kept)
        await sitting.press("x", "left")
        await paste(sitting, "first line\nsecond line")
        assert "room for 0 more" in sitting.shown
        await sitting.press("enter")
    assert kept == ["first line second lx"]


@pytest.mark.parametrize("keys", [("escape",), ("a", "escape"), ("enter",), ("space", "enter")])
async def test_nothing_is_kept_of_a_line_that_is_left(sit: Sit, keys: tuple[str, ...]) -> None:
    """Escape, or Enter on an empty line, goes back and keeps nothing."""
    kept: list[str] = []
    async with sit() as sitting:
        await ask(sitting, kept)
        await sitting.press(*keys)
        assert sitting.app.screen is sitting.app.first
    assert kept == []


async def test_the_keys_can_be_touched(sit: Sit) -> None:
    """What stands at the foot acts like its key."""
    kept: list[str] = []
    async with sit() as sitting:
        await ask(sitting, kept)
        await sitting.press("h", "q")
        await sitting.pilot.click(offset=(5, 22))
    assert kept == ["hq"]
