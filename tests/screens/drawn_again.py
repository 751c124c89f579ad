"""What drawing a screen once more must not do, and at which sizes it must be done."""

from __future__ import annotations

from typing import NoReturn

import pytest

from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.screens.bench.screen import BenchScreen
from bench.screens.kit.board_screen import LEAST_HEIGHT, LEAST_WIDTH, BoardScreen
from bench.screens.kit.canvas import Canvas
from bench.screens.preparing.measuring_screen import MeasureScreen
from bench.screens.preparing.weighing_screen import WeighScreen

from .conftest import Sitting

SIZES = (
    (LEAST_WIDTH, LEAST_HEIGHT), (LEAST_WIDTH, 60), (300, LEAST_HEIGHT), (300, 90), (73, 21),
)  # fmt: skip
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


def wrong_at_odd_sizes(screen: BoardScreen) -> list[str]:
    """The odd sizes of a terminal at which a screen is not drawn whole."""
    found = []
    for width, height in SIZES:
        canvas = screen.draw(width, height)
        lines = [len(row) for row in canvas.rows]
        if (canvas.width, canvas.height, lines) != (width, height, [width] * height):
            found.append(f"not whole at {width} by {height}")
    return found


class EffectsOfDrawing:
    """Draws pages of the bench and of preparing again; `seen`: those that were, with their mode."""

    def __init__(self) -> None:
        self.seen: set[tuple[type, type]] = set()

    def on(self, sitting: Sitting) -> list[str]:
        """What drawing changes of the screen that is up; no bell rings, and no journal is read."""
        screen = sitting.app.screen
        if not isinstance(screen, BenchScreen | WeighScreen | MeasureScreen):
            return []

        def refused(*_: object, **__: object) -> NoReturn:
            raise AssertionError("an effect while drawing")

        before = held_by(screen)
        with pytest.MonkeyPatch.context() as watched:
            for method in WRITES_AND_READS:
                watched.setattr(Journal, method, refused)
            watched.setattr(sitting.app, "bell", refused)
            screen.redraw()
            first, again = screen.draw(80, 24), screen.draw(80, 24)
        self.seen.add((type(screen), type(getattr(screen, "mode", None))))
        same = {
            "what is drawn": first.rows == again.rows,
            "what can be touched": first.zones == again.zones,
            "what the screen holds": held_by(screen) == before,
        }
        return [f"drawing changes {what}" for what, holds in same.items() if not holds]
