from __future__ import annotations

import asyncio
import contextlib
import os
import shutil
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.worker import WorkerFailed

from bench.documents.library import Library
from bench.journal.lock import FileLock
from bench.journal.store import Journal
from bench.screens.app import BenchApp
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.lists.home_screen import HomeScreen
from bench.screens.lists.pattern_card import PatternCard
from bench.timing.finished_pieces import FinishedPieces
from tests.support.clock import ManualClock
from tests.support.demo_journal import make_pieces
from tests.support.shipped import read_once


class Sitting:
    """An app under test with its clock: keys are pressed with time between them."""

    def __init__(self, app: BenchApp, pilot: Pilot[None], clock: ManualClock) -> None:
        self.app = app
        self.pilot = pilot
        self.clock = clock

    async def press(self, *keys: str, seconds: float = 20.0) -> None:
        """Press keys, so many seconds apart."""
        for key in keys:
            self.clock.advance(seconds)
            await self.pilot.press(key)

    @property
    def shown(self) -> str:
        """What the screen shows, as text."""
        screen = self.app.screen
        assert isinstance(screen, BoardScreen)
        return screen.board.canvas.as_text()

    async def pick(self, name: str) -> None:
        """Move to a line of the first screen by its name, as far as that many keys would."""
        await self.press("home")
        first = self.app.first
        at = next((n for n, row in enumerate(first.home.rows) if row.ref == name), None)
        assert at is not None, f"{name} is not on the list"
        self.clock.advance(20.0 * at)
        first.home.picked = at
        first.read_rows()
        first.redraw()

    async def begin(self, name: str, stage: str = "braiding") -> None:
        """Start a piece of a pattern from its card, at a stage that is chosen there."""
        await self.pick(name)
        await self.press("enter")
        card = self.app.first.mode
        assert isinstance(card, PatternCard)
        while card.choices[2].value != stage:
            await self.press("right")
        await self.press("enter")


async def drained(min_sleep: float = 0.0, max_sleep: float = 1.0) -> None:
    """Wait until every message has been worked through, and nothing is left to run at once.

    Textual's own wait sleeps until the process looks idle by the clock, twice for each key.
    """
    loop = asyncio.get_running_loop()
    await asyncio.sleep(0)
    while loop._ready:  # type: ignore[attr-defined]
        await asyncio.sleep(0)


@pytest.fixture(autouse=True)
def _no_idle_sleeps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("textual.app.wait_for_idle", drained)
    monkeypatch.setattr("textual.pilot.wait_for_idle", drained)


@pytest.fixture(autouse=True)
def _shipped_documents_are_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    read_once(monkeypatch)


@pytest.fixture(autouse=True)
def _no_rest_for_the_braid(monkeypatch: pytest.MonkeyPatch) -> None:
    """The braid beside the list is there with the key, not a moment after it."""
    monkeypatch.setattr(HomeScreen, "show_braid_soon", HomeScreen._show_braid)


@pytest.fixture(autouse=True)
def _colours(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal of all colours, whatever the tests are run in."""
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    monkeypatch.delenv("NO_COLOR", raising=False)


@pytest.fixture(autouse=True)
def _sqlite_as_any(monkeypatch: pytest.MonkeyPatch) -> None:
    """What one machine's SQLite has wrong stands on no screen that is compared."""
    monkeypatch.setattr("bench.journal.sqlite_version.fault_of", lambda: "")


Sit = Callable[..., AbstractAsyncContextManager[Sitting]]


@pytest.fixture
def clock() -> ManualClock:
    """A clock that the test moves."""
    return ManualClock()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """The maker's data folder; it does not exist yet."""
    return tmp_path / "home"


@pytest.fixture(scope="session")
def made_pieces(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, float]:
    """A folder, to be copied, and the wall time of its end: a journal of sixty simulated pieces.

    Beside it lies what they took, as it was summed up once. It is made once for all workers.
    """
    base = tmp_path_factory.getbasetemp()
    shared = base.parent if "PYTEST_XDIST_WORKER" in os.environ else base
    folder, ended = shared / "sixty", shared / "sixty-ended"
    lock = FileLock(shared / "sixty.lock", wait_s=120.0)
    try:
        if not ended.exists():
            ended.write_text(repr(_make_sixty(folder)))
    finally:
        lock.release()
    return folder, float(ended.read_text())


def _make_sixty(folder: Path) -> float:
    """Make the journal, and return the wall time of its end."""
    maker_clock, library = ManualClock(), Library(folder)
    with Journal.open(folder / "journal.db", write=True, clock=maker_clock) as journal:
        # Thousands of events that no one will miss need not wait for the disk one by one.
        journal._hold.db.execute("PRAGMA synchronous = OFF")
        make_pieces(journal, maker_clock, library, 60)
        FinishedPieces(journal.path, library, keep=True).read_all(journal)
    return maker_clock.now().wall


@pytest.fixture
def sixty(home: Path, clock: ManualClock, made_pieces: tuple[Path, float]) -> Path:
    """The test's data folder with sixty pieces in it; the clock stands where the last one ended."""
    shutil.copytree(made_pieces[0], home)
    clock.set_wall(made_pieces[1])
    clock.reboot()
    return home


@pytest.fixture
def sit(home: Path, clock: ManualClock) -> Sit:
    """Open the app on the test's home folder."""

    @asynccontextmanager
    async def opened(width: int = 80, height: int = 24) -> AsyncIterator[Sitting]:
        app = BenchApp(home, clock)
        async with app.run_test(size=(width, height)) as pilot:
            while not app.is_ready:
                await pilot.pause(0.01)
            # What is read after the first paint in other threads; a test may have broken that.
            for _ in range(2):
                with contextlib.suppress(WorkerFailed):
                    await app.workers.wait_for_complete()
                await pilot.pause()
            yield Sitting(app, pilot, clock)

    return opened
