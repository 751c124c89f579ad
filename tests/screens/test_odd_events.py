"""A piece with events that fit no piece can be opened, braided and left."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.screen import Screen

from bench.documents.actions import ACTIONS
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.events import Entry
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.screen import BenchScreen
from bench.screens.lists.home_screen import HomeScreen
from tests.screens.conftest import Sit
from tests.support.clock import ManualClock
from tests.support.events import record, said
from tests.support.odd_events import ODD

BENCH = tuple(keys[0] for action, (_, keys) in ACTIONS.items() if action != "leave")


def mode_up(screen: Screen[object]) -> type | None:
    """What the bench is in the middle of; None where its help or another screen is up."""
    return type(screen.mode) if isinstance(screen, BenchScreen) and not screen.help else None


async def test_a_piece_with_odd_events_is_shown_and_braided(
    sit: Sit, home: Path, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever of ODD stands in a piece, each of its keys works, or says why not.

    The list, which has all these pieces, is filled when the program opens and at the end.
    """
    home.mkdir()
    pieces: dict[str, str] = {}
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        made = WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
        for odd, (kind, payload) in ODD.items():
            braid = Braid.start(journal, made)
            for _ in range(4):
                clock.advance(20.0)
                braid.cross()
            journal.append_many([Entry(said(kind, payload), braid.piece)])
            pieces[odd] = braid.piece
    async with sit() as sitting:
        app = sitting.app
        with monkeypatch.context() as meanwhile:
            meanwhile.setattr(HomeScreen, "fill", lambda home: None)
            for odd, piece in pieces.items():
                app.take_up(piece)
                await sitting.pilot.pause()
                usual = mode_up(app.screen)
                for key in BENCH:
                    await sitting.press(key)
                    if usual is None or mode_up(app.screen) is not usual:
                        await sitting.press("escape")
                    if app.screen is app.first:
                        app.take_up(piece)
                        await sitting.pilot.pause()
                for key in ("escape", "l", "l"):
                    if app.screen is not app.first:
                        await sitting.press(key)
                assert app.screen is app.first, odd
        app.fill_home()
        assert "IN THE MAKING" in sitting.shown


async def test_odd_beads_to_sew_in_are_listed_to_the_end(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """A bead to be sewn in on no strand of the piece is told by its cross, and struck off."""
    home.mkdir()
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        braid = Braid.start(
            journal, WorkedPattern.from_library(Library(home), Settings(), "silver-eaves")
        )
        for strand, cross in ((99, 3), (1, 2**52)):
            record(braid, "sew_in", {"strand": strand, "cross": cross, "bead": "[b]"})
        braid.set_place(braid.plan.crosses)
    async with sit() as sitting:
        sitting.app.take_up(braid.piece)
        await sitting.press("exclamation_mark")
        found = re.search(r"(\S)  a bead is sewn in now", sitting.shown)
        assert found is not None
        await sitting.press(found[1])
        assert "one [b] in cross 3" in sitting.shown
        await sitting.press("escape", "m", "m", "m", "m", "1")
        assert "sewn in: one [b], at cross 3" in sitting.shown
