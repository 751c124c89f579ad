"""What a mode of the board may ask of the screen that it is up on."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from bench.screens.drawing.companion import DrawingCompanion
from bench.screens.drawing.drawing import Drawing
from bench.screens.drawing.question import Question

if TYPE_CHECKING:
    from bench.screens.drawing.draft import Draft
    from bench.screens.drawing.mode import BoardMode


class BoardHost(Protocol):
    """The board's screen as its modes see it."""

    companion: DrawingCompanion
    drawing: Drawing

    def ask(self, question: Question) -> None:
        """Ask for a line over the board."""

    def to_mode(self, mode: BoardMode | None) -> None:
        """Put another mode up, or go back to painting."""

    def beside(self, work: Callable[[], object], done: Callable[[object], None]) -> None:
        """Work something out off the key's way, then give what came of it to `done`."""

    def open_beside(self, draft: Draft) -> None:
        """Put another sketch on the board, over this one."""
