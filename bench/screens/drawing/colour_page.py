"""Colours to choose from: the stock's own beads of the size by name with what is left, or typed."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from bench.craft.pattern import Bead, ColourChange
from bench.craft.text import Fault, plain
from bench.design.colour_names import colour_and_name, named_colours, nearest_name, two_colours
from bench.design.colour_run import LayRun, RunColour
from bench.design.colours import run_of_colours
from bench.documents.beads_at_hand import beads_at_hand
from bench.documents.stock_colours import run_in_stock
from bench.screens.drawing.at_hand import named_beads, stock_at_hand
from bench.screens.drawing.bead_choices import bead_here, colour_operations, here_or_everywhere
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.question import Question
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.picking import draw_list, moved

RUN = re.compile(r"(.{1,120})\s+(\d{1,2})", re.ASCII)
ASKS_COLOUR = "Which colour? Teal, dark red or #9fb8c8, and a name of yours behind it:"
ASKS_RUN = "A run over the marked rows: two colours and how many, as navy pale green 5"


@dataclass(frozen=True)
class Offered:
    """A colour that can be taken, "" where it is not known; its name, and what is left of it."""

    colour: str
    name: str
    more: str


class ColourPage(BoardMode):
    """A list of colours for a bead; Enter takes one."""

    whole = True
    help = (
        ("UP DOWN", "choose a colour; ENTER takes it, here or wherever the bead stands"),
        ("N", "on to the beads of this pattern, to the named colours, to the stock"),
        ("T", "type a colour by its name or as #9fb8c8, and a name of yours behind it"),
        ("R", "a run of colours over the marked rows, or all, out of the stock"),
        ("A", "beads of all sizes in stock, or of this size alone"),
        ("ESC", "back to painting"),
    )

    def __init__(
        self,
        host: BoardHost,
        bead: Bead,
        heading: str,
        take: Callable[[ColourChange], None],
        *,
        letter: str = "",
        back: Callable[[], None] | None = None,
    ) -> None:
        """`take` gets the colour; `letter`: the bead on the board whose colour it is, if any.

        `back`: where it goes without one; else to painting.
        """
        super().__init__(host.drawing)
        self.host, self.bead, self.heading, self.letter = host, bead, heading, letter
        self._give, self._back = take, back or (lambda: host.to_mode(None))
        self.shelf, self.trouble = stock_at_hand(host.companion)
        self.all_sizes = False
        self.picked = 0
        self.named: Mapping[str, str] = {}
        host.beside(named_colours, self._take_names)

    def _take_names(self, found: object) -> None:
        if isinstance(found, Mapping):
            self.named = found

    @property
    def parts(self) -> tuple[list[Offered], list[Offered], list[Offered]]:
        """The stock's beads of the size, the pattern's other beads, the named colours.

        For a new bead the pattern's own come last: one of them is there already. They come with
        the named ones, so that nothing moves under the cursor.
        """
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
        named = [Offered(colour, name, "a named colour") for name, colour in self.named.items()]
        ours = list(own.values())
        if self.letter:
            return stock, ours, named
        return stock, named, ours if named else []

    @property
    def offered(self) -> list[Offered]:
        """All of them in one list."""
        return [one for part in self.parts for one in part]

    @property
    def by_name(self) -> Mapping[str, str]:
        """The colours of the stock's beads, and of those on the board, by their names."""
        return named_beads(self.host)

    def press(self, key: str, character: str | None) -> None:
        """Choose, take, type or go back."""
        offered = self.offered
        if key in {"escape", "q"}:
            self._back()
        elif key in {"enter", "space"} and offered:
            one = offered[min(self.picked, len(offered) - 1)]
            if not one.colour:
                self.trouble = "The stock does not say this bead's colour: T types it."
                return
            self._take(ColourChange(colour=one.colour, name=one.name))
        elif key.lower() == "t":
            wrong = partial(typed_wrong, own=self.by_name)
            self.host.ask(Question(ASKS_COLOUR, wrong, self._take_typed, self.bead.colour))
        elif key.lower() == "n":
            self._next_part()
        elif key.lower() == "r" and self.letter:
            self.host.ask(Question(ASKS_RUN, self._run_wrong, self._lay_run))
        elif key.lower() == "a":
            self.all_sizes = not self.all_sizes
        else:
            self.picked = moved(self.picked, key.replace("page", "page_"), len(offered))

    def _next_part(self) -> None:
        """Pick the first line of the next part of the list."""
        starts, at = [], 0
        for part in self.parts:
            starts += [at] if part else []
            at += len(part)
        self.picked = next((start for start in starts if start > self.picked), 0)

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
        colours = run_of_colours(*two_colours(found[1], self.by_name), int(found[2]))
        looks = [RunColour(colour=colour, name=nearest_name(colour)) for colour in colours]
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
        if found is None or not 2 <= int(found[2]) <= 24:
            return "two colours and how many, 2 to 24, as navy pale green 5"
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
        colour, name = colour_and_name(text, self.by_name)
        self._take(ColourChange(colour=colour, name=name or self.bead.name))

    def _take(self, look: ColourChange) -> None:
        self.host.to_mode(None)
        self._give(look)

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the list."""
        width, height = canvas.width, canvas.height
        canvas.text(1, 0, self.heading, "bold", width - 2)
        canvas.rule(1)
        offered = self.offered
        self.picked = min(self.picked, max(0, len(offered) - 1))

        def line(number: int, at: int, style: str) -> None:
            one = offered[number]
            canvas.text(2, at, self.letter, style)
            if one.colour:
                canvas.text(4, at, "██", one.colour)
            canvas.text(8, at, one.name, style, 28)
            canvas.text(38, at, one.more, style, width - 39)

        draw_list(canvas, 2, height - 7, len(offered), self.picked, line)
        none = "" if self.shelf.file is not None else "No stock is kept yet, in stock.toml."
        for number, text in enumerate(wrap(self.trouble or none, width - 2)[:2]):
            canvas.text(1, height - 4 + number, text, "warn" if self.trouble else "dim")
        keys = (("ENTER", "take it"), ("T", "type a colour"), ("N", "named colours"))
        self.draw_foot(canvas, (*keys, ("A", "all sizes")))


def colour_page(host: BoardHost) -> None:
    """Put the colours up for the bead under the cursor."""
    letter = bead_here(host)
    if not letter:
        return
    draft = host.drawing.draft
    bead, shown = draft.shown().beads[letter], draft.colourway
    where = f" in the colourway {shown}" if shown else ""

    def take(look: ColourChange) -> None:
        here_or_everywhere(host, letter, *colour_operations(host, letter, look))

    heading = f"COLOUR of {letter}, {bead.name} {bead.size}{where}"
    host.to_mode(ColourPage(host, bead, heading, take, letter=letter))


def typed_wrong(text: str, own: Mapping[str, str]) -> str:
    """What is wrong with a typed colour and its name, "" if nothing is."""
    try:
        plain(text)
        colour_and_name(text, own)
    except Fault as fault:
        return str(fault)
    return ""
