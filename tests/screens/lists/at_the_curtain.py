"""A sitting at the curtain's commission: its page up, and the ways through its forms."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from bench.screens.lists.commission_screen import CommissionScreen
from bench.screens.lists.form import FormScreen

from ..conftest import Sit, Sitting
from ..tour import settled


@asynccontextmanager
async def at_the_curtain(sit: Sit, *size: int) -> AsyncIterator[Sitting]:
    """Sit with the page of the curtain's commission up and worked out."""
    async with sit(*size) as sitting:
        await settled(sitting)
        await sitting.pick("curtain")
        await sitting.press("enter")
        await settled(sitting)
        yield sitting


async def pick_row(sitting: Sitting, name: str) -> None:
    """Move to a row of a form by the beginning of its name."""
    screen = sitting.app.screen
    assert isinstance(screen, FormScreen)
    rows = [row.name for row in screen.rows()]
    at = next(number for number, row in enumerate(rows) if row.startswith(name))
    await sitting.press("home", *["down"] * at)


async def part(sitting: Sitting, name: str) -> None:
    """Open a page of the commission that is up from its shop's page."""
    await sitting.press("7", "home")
    screen = sitting.app.screen
    assert isinstance(screen, CommissionScreen)
    names = [one[0] for one in screen.shop.parts]
    await sitting.press(*["down"] * names.index(name), "enter")
    assert sitting.app.screen is not screen
