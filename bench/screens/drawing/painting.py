"""The board's usual mode: going about and painting."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bench.craft.load import SKIP
from bench.design.sheet import OPEN
from bench.screens.drawing.drawing import DIGITS
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.panel import draw_keys_line, draw_panel
from bench.screens.kit.canvas import Canvas

STEPS = {
    "left": (-1, 0),
    "right": (1, 0),
    "up": (0, -1),
    "down": (0, 1),
    "pageup": (0, -10),
    "pagedown": (0, 10),
    "home": (0, -100_000),
    "end": (0, 100_000),
}
"""Keys that move the cursor: stripes and rows."""
KEYS = (
    *("load", "spread", "shape", "undo", "keep", "motif", "size", "colour", "rows", "figures"),
    *("help", "leave_board"),
)
"""Actions whose keys stand at the foot, the first ones first where there is little room."""
WORDS = {"leave_board": "leave"}
"""What an action is called at the foot, where not by its id."""


class Painting(BoardMode):
    """Going about by stripe and row, and painting; letters are commands, as the maker sets them."""

    help = (
        ("row", "arrows: round and along; to a row by number"),
        ("lay take_up more_beads", "digits lay; that in hand; take up; more"),
        ("no_bead unset", "no bead here; left open"),
        ("turn_back turn_on", "turn the outline"),
        ("spread strands block", "the spread (SHIFT back); strands; a block"),
        ("load", "type the load of this strand, its spread"),
        ("size colour exchange", "size; colour; another bead, finish"),
        ("rows length repeats", "rows; a length in mm; every repeat at once"),
        ("motif appearances shape", "motif; appearances; shape from a wish"),
        ("shown another_size", "which size and colourway is shown; a size"),
        ("colourways twin", "colourways; the mirror twin"),
        ("figures cure", "figures, thread, core, card; cure the worst"),
        ("undo redo", "take back; do again"),
        ("keep braid", "keep it; braid it, the sample first"),
        ("another_bead structure", "a bead more; a new one's structure"),
        ("leave_board", "leave the board; ESC too"),
    )

    def __init__(self, host: BoardHost, commands: Mapping[str, Callable[[], None]]) -> None:
        """`commands`: what actions do that lead to other modes, or need the screen."""
        super().__init__(host.drawing)
        self._host = host
        self._deeds = {**self._own_deeds(), **commands}

    def _own_deeds(self) -> Mapping[str, Callable[[], None]]:
        drawing = self.drawing
        return {
            "lay": self._lay,
            "take_up": self._take_up,
            "more_beads": drawing.turn_palette,
            "no_bead": lambda: drawing.paint(SKIP),
            "unset": lambda: drawing.paint(OPEN),
            "turn_on": lambda: drawing.turn(1),
            "turn_back": lambda: drawing.turn(-1),
            "spread": lambda: drawing.widen(1),
            "block": self._block,
            "repeats": drawing.toggle_repeat,
            "undo": drawing.undo,
            "redo": drawing.redo,
        }

    def press(self, key: str, character: str | None) -> None:
        """Move, paint or do what the key stands for."""
        drawing = self.drawing
        action = self._host.companion.keys.at_the_board(key)
        if key in STEPS:
            drawing.go(*STEPS[key])
        elif character is not None and character in DIGITS:
            at = DIGITS.index(character)
            if at < len(drawing.in_reach):
                drawing.paint(drawing.in_reach[at])
        elif key == "escape" and drawing.corner is not None:
            drawing.corner = None
        elif key == "escape":
            self._deeds["leave_board"]()
        elif action == "spread" and key.isupper():
            drawing.widen(-1)
        elif action in self._deeds:
            self._deeds[action]()

    def _lay(self) -> None:
        drawing = self.drawing
        here = drawing.sheet.at(drawing.cell)
        drawing.paint(drawing.hand or here or next(iter(drawing.letters), SKIP))

    def _take_up(self) -> None:
        drawing = self.drawing
        drawing.hand = drawing.sheet.at(drawing.cell).strip(SKIP + OPEN) or drawing.hand

    def _block(self) -> None:
        drawing = self.drawing
        drawing.corner = None if drawing.corner else drawing.cell

    def touch(self, action: str) -> None:
        """Go to a touched cell, and lay the bead in hand there."""
        kind, _, rest = action.partition(" ")
        if kind == "cell":
            strand, row = map(int, rest.split())
            self.drawing.go_to(self.drawing.cell._replace(strand=strand, row=row))
            if self.drawing.hand:
                self.drawing.paint(self.drawing.hand)
        elif action in self._deeds:
            self._deeds[action]()
        else:
            super().touch(action)

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the panel and the keys."""
        drawing = self.drawing
        draw_panel(canvas, y, drawing, drawing.draft.shown(drawing.sheet))
        keys = [(drawing.key(action), WORDS.get(action, action), action) for action in KEYS]
        draw_keys_line(canvas, (("1-9", "lay", ""), *keys))
