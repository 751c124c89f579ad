"""A talk about a slip in the app, held by a maker who reads only the screen."""

from __future__ import annotations

from bench.making.braid import Braid
from bench.screens.bench.screen import BenchScreen
from tests.support.events import record
from tests.support.slips_walker import Walker

from ..conftest import Sitting

NAME = "gutter-pearl"
OTHERS = {"reversed": "silver-eaves", "end_for_end": "cistern"}
"""Where the usual pattern would not show a kind: its loads read the same both ways."""
SLIP = "exclamation_mark"


async def braid_at(sitting: Sitting, made: int, name: str = NAME) -> Braid:
    """A piece begun in the app, with so many crosses counted and their marks done."""
    await sitting.begin(name)
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    braid = screen.braid
    braid.set_place(made)
    for mark in braid.marks:
        if mark.after_cross <= made:
            record(braid, "mark_done", {"cross": mark.after_cross, "mark": mark.id})
    screen.look_again()
    return braid


async def talk(sitting: Sitting, walker: Walker) -> None:
    """Report and answer by key until nothing is asked any more."""
    await sitting.press(SLIP)
    await sitting.press(*walker.report_keys(sitting.shown), seconds=2)
    for _ in range(15):
        if not walker.asked(sitting.shown):
            return
        await sitting.press(*walker.answer_keys(sitting.shown), seconds=2)
    raise AssertionError("it never stops asking")


def chosen(braid: Braid) -> dict[str, object]:
    """What the mend that was chosen last holds."""
    return dict(list(braid.journal.events(braid.piece, "mend_chosen"))[-1].values)


def braid_of(sitting: Sitting) -> Braid:
    """The braid on the bench."""
    screen = sitting.app.screen
    assert isinstance(screen, BenchScreen)
    return screen.braid
