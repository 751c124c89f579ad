"""A board without a screen, for what its modes do and draw by themselves."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import cast

from bench.design.history import History
from bench.design.operation import Desk
from bench.design.sheet import Sheet
from bench.documents.settings import Settings
from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.draft import Draft
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.question import Question
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.keys import Keys
from bench.timing.kept_figures import read_kept_figures
from tests.support.boards import NOWHERE, library, structure


class BareBoard:
    """Keeps what a mode asks for: the mode put up last, and the questions."""

    def __init__(
        self, sheet: Sheet, settings: Settings | None = None, home: Path = NOWHERE
    ) -> None:
        known = settings or Settings()
        pace = SimpleNamespace(figures=read_kept_figures(NOWHERE / "journal.db"))
        app = SimpleNamespace(
            settings=known, keys=Keys(known), journal=None, library=library(), pace=pace
        )
        app.session = SimpleNamespace(home=home)
        self.companion = cast(DrawingCompanion, app)
        self.drawing = Drawing(Draft(History(sheet), Desk(structure)))
        self.mode: BoardMode | None = None
        self.asked: list[Question] = []
        self.beside_it: list[Draft] = []

    def ask(self, question: Question) -> None:
        """Keep the question."""
        self.asked.append(question)

    def to_mode(self, mode: BoardMode | None) -> None:
        """Keep the mode."""
        self.mode = mode

    def beside(self, work: Callable[[], object], done: Callable[[object], None]) -> None:
        """Do it at once."""
        done(work())

    def open_beside(self, draft: Draft) -> None:
        """Keep the sketch."""
        self.beside_it.append(draft)

    def press(self, *keys: str) -> None:
        """Press keys in the mode that is up."""
        for key in keys:
            assert self.mode is not None
            self.mode.press(key, key if len(key) == 1 else None)

    def canvas(self, width: int = 80) -> Canvas:
        """What the mode draws into a panel of seven lines, or a screen of 24."""
        assert self.mode is not None
        canvas = Canvas(width, 24 if self.mode.whole else 7)
        self.mode.draw(canvas, 0)
        return canvas

    def shown(self, width: int = 80) -> str:
        """The same as text."""
        return self.canvas(width).as_text()

    def touch_at(self, text: str) -> None:
        """Touch the first sign of a text that is shown."""
        assert self.mode is not None
        canvas = self.canvas()
        y, line = next(at for at in enumerate(canvas.as_text().splitlines()) if text in at[1])
        action = canvas.action_at(line.index(text), y)
        assert action is not None
        self.mode.touch(action)
