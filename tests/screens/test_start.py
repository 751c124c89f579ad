"""The list that is there at once, before anything but names and titles has been read."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from bench.screens.app import BenchApp
from bench.screens.lists.pattern_card import PatternCard
from tests.support.clock import ManualClock

from .conftest import Sit

LONG_AGO_NS = 1_700_000_000_000_000_000


@contextmanager
def held(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Nothing is read after the first paint until the event is set."""
    free, read = threading.Event(), BenchApp._read_first

    def wait(app: BenchApp) -> None:
        free.wait(30)
        read(app)

    monkeypatch.setattr(BenchApp, "_read_first", wait)
    yield free
    free.set()


def titles(app: BenchApp, kind: str) -> list[str]:
    """The titles of one kind of lines."""
    return [row.title for row in app.first.home.rows if row.kind == kind]


def test_all_titles_are_there_before_anything_is_read(home: Path, clock: ManualClock) -> None:
    """Patterns and commissions have their titles, not their files' names, in a home not there."""
    app, library = BenchApp(home, clock), Library(home)
    assert titles(app, "pattern") == [
        library.plan(e.path).pattern.title for e in library.patterns()
    ]
    assert titles(app, "commission") == [
        "Rain curtain for the stair window",
        "A new commission",
    ]
    assert titles(app, "piece") == []
    assert not home.exists()


async def test_pieces_are_kept_with_how_they_stand(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """After a good end the pieces are there at once, as they were left."""
    async with sit() as sitting:
        await sitting.press("enter", "enter", "space", "space", "l", "l")
        shown = [row for row in sitting.app.first.home.rows if row.kind == "piece"]
        assert "cross" in shown[0].detail
    again = BenchApp(home, clock)
    assert [row for row in again.first.home.rows if row.kind == "piece"] == shown


async def test_pieces_of_a_journal_that_was_written_to_follow(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """What another program wrote is never hidden by what was kept."""
    async with sit() as sitting:
        await sitting.press("enter", "enter", "space", "l", "l")
    with Journal.open(home / "journal.db", write=True, clock=clock) as journal:
        made = WorkedPattern.from_library(Library(home), Settings(), "cistern", None, None)
        Braid.start(journal, made, number=7)
    assert titles(BenchApp(home, clock), "piece") == []
    async with sit() as sitting:
        assert titles(sitting.app, "piece")[0] == "Cistern 7"


def test_a_changed_title_is_read_anew(home: Path, clock: ManualClock) -> None:
    """A title is kept with its file's stamp."""
    (home / "patterns").mkdir(parents=True)
    file = home / "patterns" / "slate.toml"
    for title in ("Slate", "Eaves"):
        file.write_text(f'title = "{title}"\n')
        app = BenchApp(home, clock)
        assert title in titles(app, "pattern")
        app.session.index.save()
        os.utime(file, ns=(LONG_AGO_NS, LONG_AGO_NS))


async def test_arrows_move_at_once_and_other_keys_are_heard_later(
    home: Path, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Enter, pressed before anything is read, opens what was picked then."""
    app = BenchApp(home, clock)
    with held(monkeypatch) as free:
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press("down", "down")
            picked = app.first.home.rows[2]
            assert not app.is_ready
            assert app.first.home.picked == 2
            await pilot.press("enter")
            assert app.first.mode is app.first.home
            free.set()
            while not app.is_ready:
                await pilot.pause(0.01)
            await pilot.pause()
            assert isinstance(app.first.mode, PatternCard)
            assert app.first.mode.ref == picked.ref


async def test_own_keys_are_kept_for_the_first_list(
    sit: Sit, home: Path, clock: ManualClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The maker's own arrow works and is named at once; with new settings it works a bit later."""
    home.mkdir()
    settings = home / "settings.toml"
    for key in ("f13", "f14"):
        settings.write_text(f'format = 1\ntheme = "light"\n[keys]\ndown = ["{key}"]\n')
        os.utime(settings, ns=(LONG_AGO_NS, LONG_AGO_NS + int(key[1:])))
        unread = BenchApp(home, clock)
        assert unread.named_keys("DOWN") == "DOWN"
        assert not unread.knows_keys()
        async with sit() as sitting:
            await sitting.press(key)
            assert sitting.app.first.home.picked == 1
        with held(monkeypatch):
            app = BenchApp(home, clock)
            assert app.named_keys("UP DOWN") == f"UP {key.upper()}"
            assert app.theme.startswith("bench-light")
            async with app.run_test() as pilot:
                await pilot.press(key)
                assert app.first.home.picked == 1
                await pilot.press("down")
                assert app.first.home.picked == 1
