from __future__ import annotations

import datetime as dt
from pathlib import Path

from bench.documents.settings import RestSettings
from bench.journal.clock import Instant
from bench.screens.bench.rests import LIGHT, Rests
from bench.screens.bench.screen import BenchScreen
from tests.support.clock import ManualClock

from ..conftest import Sit

WANTED = RestSettings()
NOON = dt.datetime(2026, 11, 29, 12, 0, tzinfo=dt.UTC).timestamp()


def at(minutes: float, boot: str = "one") -> Instant:
    """So many minutes after noon, in a zone an hour east of UTC."""
    return Instant(NOON - 3600 + 60 * minutes, 60, boot, 60 * minutes)


def work(rests: Rests, start: int, end: int, every: int = 1) -> None:
    """Press a key each so many minutes."""
    for minute in range(start, end + 1, every):
        rests.heard(at(minute), WANTED)


def test_a_rest_is_due_after_the_time_that_is_set() -> None:
    """After 50 minutes at work one is due; offered and passed by, again only after as many."""
    rests = Rests()
    work(rests, 0, 49)
    assert not rests.is_due(WANTED)
    work(rests, 50, 50)
    assert rests.is_due(WANTED)
    assert not rests.is_due(RestSettings(after_minutes=0))
    rests.offer()
    work(rests, 51, 99)
    assert not rests.is_due(WANTED)
    work(rests, 100, 100)
    assert rests.is_due(WANTED)
    assert rests.worked_s == 6000


def test_a_rest_that_was_taken_is_not_offered_again() -> None:
    """Three minutes without a key, or a machine started anew, are a rest: the time begins anew."""
    rests = Rests()
    work(rests, 0, 48)
    work(rests, 51, 100)
    assert not rests.is_due(WANTED)
    assert rests.worked_s == 49 * 60
    rests.heard(at(101, boot="two"), WANTED)
    assert rests.worked_s == 0


def test_light_is_spoken_of_once_an_evening() -> None:
    """From the hour that is set, by the maker's own clock; past midnight it is still the same."""
    rests = Rests()
    assert rests.take_light(WANTED) == ""
    heard = []
    for hour in (0, 5, 6, 7, 11, 13, 16, 17.5, 30):
        rests.heard(at(60 * hour), WANTED)
        heard.append(rests.take_light(WANTED))
    assert heard == ["", "", LIGHT, "", "", "", "", "", LIGHT]
    assert Rests().take_light(RestSettings(evening_hour=24)) == ""


def test_a_restart_is_no_rest_and_nothing_is_said_twice() -> None:
    """What was done before the program was opened counts as work; light was spoken of then."""
    before = [at(60 * 6 + minute) for minute in range(40)]
    rests = Rests(before, WANTED)
    assert rests.worked_s == 39 * 60
    rests.heard(at(60 * 6 + 41), WANTED)
    assert rests.take_light(WANTED) == ""
    work(rests, 60 * 6 + 42, 60 * 6 + 50)
    assert rests.is_due(WANTED), "50 minutes at work, the restart between"
    later = Rests([at(60 * 6 + minute) for minute in range(56)], WANTED)
    assert later.worked_s == 55 * 60
    assert not later.is_due(WANTED), "it was offered before the restart"


async def test_light_is_not_spoken_of_again_after_a_restart(
    sit: Sit, home: Path, clock: ManualClock
) -> None:
    """Opened again in the same evening the bench is silent about it; the journal tells that."""
    clock.set_wall(NOON + 7 * 3600)
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        assert LIGHT in sitting.shown
        await sitting.press("space", "space", "l", "l")
    async with sit() as sitting:
        await sitting.press("enter")
        assert LIGHT not in sitting.shown
        await sitting.press("p")
        assert "cross 3 of" in sitting.shown
        assert LIGHT not in sitting.shown


async def test_a_rest_is_offered_between_two_rows_and_costs_no_press(sit: Sit, home: Path) -> None:
    """Never within a row or before a mark; the next key counts as ever, and nothing is lost.

    A rest that is taken is not offered again.
    """
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[rest]\nafter_minutes = 10\n")
    async with sit() as sitting:
        await sitting.begin("silver-eaves")
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        offered = []
        for _ in range(40):
            made = bench.braid.made
            await sitting.press("m" if bench.braid.mark_due else "space", seconds=60.0)
            if "at work" in sitting.shown:
                offered.append(bench.braid.made)
                assert bench.braid.plan.row_end(bench.braid.made) == bench.braid.made
                assert bench.braid.mark_due is None
                assert "your own doctor" in " ".join(sitting.shown.replace("│", "").split())
                assert bench.braid.next_step is not None
                assert f": {bench.braid.next_step.call}, " in sitting.shown
            assert bench.braid.made >= made
        assert offered == [12, 24, 36]
        await sitting.press("p", seconds=60.0)
        await sitting.press("p", seconds=600.0)
        for _ in range(4):
            await sitting.press("space", seconds=60.0)
        assert "at work" not in sitting.shown
        assert bench.braid.made == 43


async def test_a_rest_is_offered_between_two_threads(sit: Sit, home: Path) -> None:
    """Loading for long is work as braiding is: a rest is offered once a thread is proved."""
    home.mkdir()
    (home / "settings.toml").write_text("format = 1\n[rest]\nafter_minutes = 10\n")
    async with sit() as sitting:
        await sitting.begin("silver-eaves", "loading")
        offered = []
        for press in range(33):
            await sitting.press("space", seconds=60.0)
            if "at work" in sitting.shown:
                offered.append(press)
                assert "The thread is done. Next, for " in sitting.shown
        assert offered == [15, 30]
        assert "70 of 128 beads" in sitting.shown
