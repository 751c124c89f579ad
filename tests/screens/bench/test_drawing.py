from __future__ import annotations

from pathlib import Path
from typing import NoReturn

import pytest

from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.screens.bench.screen import BenchScreen
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.preparing.measuring_screen import MeasureScreen
from bench.screens.preparing.weighing_screen import WeighScreen

from ..conftest import Sit
from ..tour import walk

WRITES_AND_READS = ("append_many", "retry", "events", "each", "_chunk", "pieces", "started")
ROOMS = ("bench.screens.", "bench.making.")
"""What is drawn from: what these rooms hold is looked through, what they use by what it is."""


def held(value: object) -> object:
    """All that a value of the screens holds, as it is now, to be compared."""
    if isinstance(value, Braid):
        return value.state, value.unsaved, value.trouble
    if isinstance(value, dict):
        return {key: held(what) for key, what in value.items()}
    if isinstance(value, list | tuple):
        return [held(what) for what in value]
    if isinstance(value, str | int | float | bool | None):
        return value
    if isinstance(value, Canvas):
        return value.as_text()
    if type(value).__module__.startswith(ROOMS) and not isinstance(value, BoardScreen):
        names = getattr(type(value), "__slots__", None) or vars(value)
        return type(value), {name: held(getattr(value, name)) for name in names}
    return id(value)


def held_by(screen: BoardScreen) -> dict[str, object]:
    """What a screen itself holds, beside all that Textual keeps in it."""
    textual_keeps = {*vars(BoardScreen(screen.companion)), "board"} - {"help"}
    return {name: held(what) for name, what in vars(screen).items() if name not in textual_keeps}


async def test_drawing_changes_nothing(
    sit: Sit, sixty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Drawn again, a page is the same; screen and braid stay so, no bell, and no journal is read.

    All pages of the bench and of preparing, each in every mode that the walk comes through.
    """
    (sixty / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0.0\n")

    def refused(*_: object, **__: object) -> NoReturn:
        raise AssertionError("an effect while drawing")

    drawn: set[tuple[type, type]] = set()
    async with sit() as sitting:
        async for name in walk(sitting, sixty):
            screen = sitting.app.screen
            if not isinstance(screen, BenchScreen | WeighScreen | MeasureScreen):
                continue
            before = held_by(screen)
            with monkeypatch.context() as watched:
                for method in WRITES_AND_READS:
                    watched.setattr(Journal, method, refused)
                watched.setattr(sitting.app, "bell", refused)
                screen.redraw()
                first, again = screen.draw(80, 24), screen.draw(80, 24)
            assert first.rows == again.rows, name
            assert first.zones == again.zones, name
            assert held_by(screen) == before, name
            drawn.add((type(screen), type(getattr(screen, "mode", None))))
    assert len(drawn) == 2 + 16, sorted(mode.__name__ for _, mode in drawn)
