"""The board's usual mode: going about and painting."""

from __future__ import annotations

from collections.abc import Callable

from bench.craft.load import SKIP
from bench.design.sheet import OPEN
from bench.screens.drawing.drawing import DIGITS, Drawing
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.panel import draw_keys_line, draw_panel
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.foot import Key

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
KEYS: tuple[Key, ...] = (
    ("1-9", "lay", ""),
    ("L", "load", "l"),
    ("W", "spread", "w"),
    ("O", "shape", "o"),
    ("U", "undo", "u"),
    ("K", "keep", "k"),
    ("M", "motif", "m"),
    ("S", "size", "s"),
    ("C", "colour", "c"),
    ("R", "rows", "r"),
    ("F", "figures", "f"),
    ("H", "help", "h"),
    ("ESC", "leave", "escape"),
)


class Painting(BoardMode):
    """Going about by stripe and row, and painting; letters are commands."""

    help = (
        ("arrows", "by stripe round, by row along; G to a row"),
        ("1 to 0", "lay it; ENTER in hand, . take up, , more"),
        ("- ? < >", "no bead here; left open; turn the outline"),
        ("W J B", "the spread (SHIFT W back); strands; a block"),
        ("L", "type the load of this strand, its spread"),
        ("S C E", "size; colour; another bead, finish"),
        ("R D =", "rows; a length in mm; every repeat at once"),
        ("M A O", "motif; appearances; shape from a wish"),
        ("V Z T X", "what is shown; a size; colourways; twin"),
        ("F !", "figures and findings; cure the worst"),
        ("U Y", "take back; do again"),
        ("K P", "keep it; braid it, the sample first"),
        ("I N", "a bead more; a new one's structure"),
        ("ESC Q", "leave the board"),
    )

    def __init__(self, drawing: Drawing, commands: dict[str, Callable[[], None]]) -> None:
        """`commands`: what keys do that lead to other modes, or need the screen."""
        super().__init__(drawing)
        self._commands = commands

    def press(self, key: str, character: str | None) -> None:
        """Move, paint or do what the key stands for."""
        drawing = self.drawing
        low = key.lower()
        if key in STEPS:
            drawing.go(*STEPS[key])
        elif character is not None and character in DIGITS:
            at = DIGITS.index(character)
            if at < len(drawing.in_reach):
                drawing.paint(drawing.in_reach[at])
        elif key in {"enter", "space"}:
            here = drawing.sheet.at(drawing.cell)
            drawing.paint(drawing.hand or here or next(iter(drawing.letters), SKIP))
        elif character == ".":
            drawing.hand = drawing.sheet.at(drawing.cell).strip(SKIP + OPEN) or drawing.hand
        elif character in {SKIP, OPEN}:
            drawing.paint(character)
        elif low == "w":
            back = character == "W"
            drawing.reach = (drawing.reach + (-1 if back else 1)) % len(drawing.spreads)
        elif character == "=":
            drawing.toggle_repeat()
        elif character == ",":
            drawing.turn_palette()
        elif character in {"<", ">"}:
            drawing.turn(1 if character == ">" else -1)
        elif low == "b":
            drawing.corner = None if drawing.corner else drawing.cell
        elif low == "u":
            drawing.undo()
        elif low == "y":
            drawing.redo()
        elif key == "escape" and drawing.corner is not None:
            drawing.corner = None
        elif low in self._commands:
            self._commands[low]()
        elif character in self._commands:
            self._commands[character]()

    def touch(self, action: str) -> None:
        """Go to a touched cell, and lay the bead in hand there."""
        kind, _, rest = action.partition(" ")
        if kind == "cell":
            strand, row = map(int, rest.split())
            self.drawing.go_to(self.drawing.cell._replace(strand=strand, row=row))
            if self.drawing.hand:
                self.drawing.paint(self.drawing.hand)
        else:
            super().touch(action)

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the panel and the keys."""
        drawing = self.drawing
        draw_panel(canvas, y, drawing, drawing.draft.shown(drawing.sheet))
        draw_keys_line(canvas, KEYS)
