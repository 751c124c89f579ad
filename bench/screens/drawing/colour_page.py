"""Colours to choose from: the stock's own beads of the size by name with what is left, or typed."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bench.craft.pattern import ColourChange
from bench.craft.text import Fault, plain
from bench.design.colour_run import LayRun, RunColour
from bench.design.colours import run_of_colours
from bench.documents.beads_at_hand import beads_at_hand
from bench.documents.stock_colours import run_in_stock
from bench.screens.drawing.at_hand import stock_at_hand
from bench.screens.drawing.bead_choices import bead_here, colour_operations, here_or_everywhere
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.question import Question
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.picking import draw_list, moved

RUN = re.compile(r"(#[0-9a-fA-F]{6})\s+(#[0-9a-fA-F]{6})\s+(\d{1,2})", re.ASCII)
TYPED = re.compile(r"(#[0-9a-fA-F]{6})(?:\s+(.{1,60}))?")


@dataclass(frozen=True)
class Offered:
    """A colour that can be taken, "" where it is not known; its name, and what is left of it."""

    colour: str
    name: str
    more: str


class ColourPage(BoardMode):
    """A list of colours for the bead under the cursor; Enter takes one."""

    whole = True
    help = (
        ("UP DOWN", "choose a colour; ENTER takes it, here or wherever the bead stands"),
        ("T", "type a colour as #9fb8c8, and a name behind it if you like"),
        ("R", "a run of colours over the marked rows, or all, out of the stock"),
        ("A", "beads of all sizes in stock, or of this size alone"),
        ("ESC", "back to painting"),
    )

    def __init__(self, host: BoardHost, letter: str) -> None:
        super().__init__(host.drawing)
        self.host, self.letter = host, letter
        self.bead = host.drawing.draft.shown().beads[letter]
        self.shelf, self.trouble = stock_at_hand(host.companion)
        self.all_sizes = False
        self.picked = 0

    @property
    def offered(self) -> list[Offered]:
        """The stock's beads of the size, then the colours of the pattern's other beads."""
        tube_g = self.host.companion.settings.thumb.tube_g
        kinds = [(self.bead.size, self.bead.shape)]
        if self.all_sizes:
            kinds = sorted({(one.size, one.shape) for one in self.shelf.stock.beads})
        stock = [
            Offered(one.colour or "", one.name, f"{one.size} {one.shape}, {one.left} left")
            for size, shape in kinds
            for one in beads_at_hand(self.shelf.stock, size, shape, tube_g)
        ]
        own = {
            (bead.colour, bead.name): Offered(bead.colour, bead.name, "in this pattern")
            for bead in self.drawing.draft.shown().beads.values()
        }
        return [*stock, *own.values()]

    def press(self, key: str, character: str | None) -> None:
        """Choose, take, type or go back."""
        offered = self.offered
        if key in {"escape", "q"}:
            self.host.to_mode(None)
        elif key in {"enter", "space"} and offered:
            one = offered[min(self.picked, len(offered) - 1)]
            if not one.colour:
                self.trouble = "The stock does not say this bead's colour: T types it."
                return
            self._take(ColourChange(colour=one.colour, name=one.name))
        elif key.lower() == "t":
            asks = "Which colour? As #9fb8c8, and a name behind it:"
            self.host.ask(Question(asks, typed_wrong, self._take_typed, f"{self.bead.colour} "))
        elif key.lower() == "r":
            asks = "A run over the marked rows: first colour, last, how many? #335577 #ddeeff 5"
            self.host.ask(Question(asks, self._run_wrong, self._lay_run))
        elif key.lower() == "a":
            self.all_sizes = not self.all_sizes
        else:
            self.picked = moved(self.picked, key.replace("page", "page_"), len(offered))

    def touch(self, action: str) -> None:
        """Pick a touched line, or take the one that is picked."""
        kind, _, which = action.partition(" ")
        if kind == "row" and int(which) != self.picked:
            self.picked = int(which)
        else:
            self.press("enter" if kind == "row" else action, None)

    def _run(self, text: str) -> tuple[LayRun, str]:
        """The run of a line out of the beads in stock, and what of it the stock does not have."""
        found = RUN.fullmatch(text)
        assert found is not None
        colours = run_of_colours(found[1], found[2], int(found[3]))
        looks = [RunColour(colour=colour, name=self.bead.name) for colour in colours]
        drawing = self.drawing
        strands, first, last = drawing.marked
        if drawing.corner is None:
            strands, first, last = (), 1, drawing.draft.sheet.rows
        wished = LayRun(
            run=tuple(looks), strands=strands, first=first, last=last,
            spread=drawing.spread.name, shown=drawing.draft.colourway,
        )  # fmt: skip
        kind, size = (self.bead.size, self.bead.shape), drawing.draft.size
        stock, tube_g = self.shelf.stock, self.host.companion.settings.thumb.tube_g
        return run_in_stock(drawing.draft.sheet, wished, kind, stock, tube_g, size)

    def _run_wrong(self, text: str) -> str:
        found = RUN.fullmatch(text)
        if found is None or not 2 <= int(found[3]) <= 24:
            return "two colours and how many, 2 to 24, as #335577 #ddeeff 5"
        try:
            self._run(text)[0].on(self.drawing.draft.sheet, self.drawing.draft.desk)
        except Fault as fault:
            return str(fault)
        return ""

    def _lay_run(self, text: str) -> None:
        run, missing = self._run(text)
        if self.drawing.do(run):
            self.drawing.corner = None
            self.drawing.said = missing and f"Laid as wished in part. {missing}"
        self.host.to_mode(None)

    def _take_typed(self, text: str) -> None:
        found = TYPED.fullmatch(text)
        assert found is not None
        self._take(ColourChange(colour=found[1], name=found[2] or self.bead.name))

    def _take(self, look: ColourChange) -> None:
        self.host.to_mode(None)
        here_or_everywhere(self.host, self.letter, *colour_operations(self.host, self.letter, look))

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the list."""
        width, height = canvas.width, canvas.height
        shown = self.drawing.draft.colourway
        where = f" in the colourway {shown}" if shown else ""
        heading = f"COLOUR of {self.letter}, {self.bead.name} {self.bead.size}{where}"
        canvas.text(1, 0, heading, "bold", width - 2)
        canvas.rule(1)
        offered = self.offered
        self.picked = min(self.picked, max(0, len(offered) - 1))

        def line(number: int, at: int, style: str) -> None:
            one = offered[number]
            canvas.text(3, at, self.letter, style)
            if one.colour:
                canvas.text(4, at, "██", one.colour)
            canvas.text(8, at, one.name, style, 28)
            canvas.text(38, at, one.more, style, width - 39)

        draw_list(canvas, 2, height - 7, len(offered), self.picked, line)
        none = "" if self.shelf.file is not None else "No stock is kept yet, in stock.toml."
        for number, text in enumerate(wrap(self.trouble or none, width - 2)[:2]):
            canvas.text(1, height - 4 + number, text, "warn" if self.trouble else "dim")
        foot_of_list(canvas, (("ENTER", "take it"), ("T", "type a colour"), ("A", "all sizes")))


def foot_of_list(canvas: Canvas, keys: tuple[tuple[str, str], ...]) -> None:
    """Write the keys of a whole page on its last line, the help and the way back last."""
    canvas.rule(canvas.height - 2)
    x, shown = 1, list(keys)
    last = (("H", "help"), ("ESC", "back"))
    while shown and sum(len(k) + len(what) + 4 for k, what in (*shown, *last)) > canvas.width:
        shown.pop()
    for key, what in (*shown, *last):
        end = canvas.text(
            canvas.text(x, canvas.height - 1, key, "key") + 1, canvas.height - 1, what
        )
        action = {"ESC": "escape"}.get(key, key.lower())
        canvas.zone(x, canvas.height - 1, end - x, 1, action)
        x = end + 3


def colour_page(host: BoardHost) -> None:
    """Put the colours up for the bead under the cursor."""
    letter = bead_here(host)
    if letter:
        host.to_mode(ColourPage(host, letter))


def typed_wrong(text: str) -> str:
    """What is wrong with a typed colour and its name, "" if nothing is."""
    try:
        plain(text)
    except Fault as fault:
        return str(fault)
    return "" if TYPED.fullmatch(text) else "a colour is written as #9fb8c8"
