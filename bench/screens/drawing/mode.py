"""A mode of the board: what its keys do, what its panel says, and its help."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import TYPE_CHECKING

from bench.screens.drawing.drawing import Drawing
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import put

if TYPE_CHECKING:
    from bench.screens.kit.help_page import Lines


class BoardMode(ABC):
    """What the maker is in the middle of at the board.

    The picture of the sheet stays above; a mode writes into the panel below it, or with `whole`
    into the whole screen.
    """

    help: Lines = ()
    whole = False

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing

    @abstractmethod
    def press(self, key: str, character: str | None) -> None:
        """Act on a key."""

    def touch(self, action: str) -> None:
        """Act on a touched part: by default its action is a key."""
        self.press(action, action if len(action) == 1 else None)

    @abstractmethod
    def draw(self, canvas: Canvas, y: int) -> None:
        """Write the panel, from a line on; a whole mode writes from line 0."""

    def answers(self) -> tuple[str, ...]:
        """Keys that are answers here, so that none of them asks for help."""
        return ()

    def draw_foot(self, canvas: Canvas, keys: Sequence[tuple[str, str]]) -> None:
        """Write the keys of a whole page on its last line, the help and the way back last."""
        last = ((self.drawing.key("help"), "help"), ("ESC", "back"))
        shown = list(keys)
        while shown and sum(len(k) + len(what) + 4 for k, what in (*shown, *last)) > canvas.width:
            shown.pop()
        canvas.rule(canvas.height - 2)
        actions = {"ESC": "escape", last[0][0]: "help"}
        named = [(key, what, actions.get(key, key.lower())) for key, what in (*shown, *last)]
        put(canvas, canvas.height - 1, named)
