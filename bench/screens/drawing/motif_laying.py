"""Laying a motif: its figures are changed until the picture is right, then it is taken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from bench.craft.text import Fault
from bench.design.motifs import KINDS, Kind
from bench.design.operations import LayMotif
from bench.screens.drawing.drawing import DIGITS, Drawing
from bench.screens.drawing.fields import draw_value
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.new_bead import colour_of_new_bead
from bench.screens.drawing.panel import draw_beads_to_pick, draw_keys_line
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.picking import turned


@dataclass(frozen=True)
class Figure:
    """A figure of a motif: its field, its name, and what it can be."""

    name: str
    field: str
    least: int
    most: Callable[[BoardHost], int]


def _strands(host: BoardHost) -> int:
    return host.drawing.draft.sheet.strands


def _rows(host: BoardHost) -> int:
    return max(1, host.drawing.draft.sheet.rows)


FIGURES = (
    Figure("every … rows", "repeat", 1, _rows),
    Figure("width", "width", 1, _strands),
    Figure("climb a row", "climb", -7, lambda host: _strands(host) - 1),
    Figure("how many round", "number", 1, _strands),
    Figure("from row", "first", 1, _rows),
    Figure("to row", "last", 1, _rows),
)
"""The figures of a motif, in the order in which they are gone through."""
BEGIN: dict[Kind, dict[str, int]] = {
    "stripe": {},
    "spiral": {"climb": 1},
    "ring": {"repeat": 4},
    "dots": {"repeat": 6},
    "chevron": {"repeat": 4, "climb": 1},
}
"""What each motif begins with, besides a width of one."""
KINDS_IN_ORDER: tuple[Kind, ...] = ("stripe", "spiral", "ring", "dots", "chevron")


def ground_of(drawing: Drawing) -> str:
    """The bead that stands most often in the marked rows, or in all; "" without any."""
    sheet = drawing.draft.sheet
    first, last = drawing.marked_rows
    rows = Counter("".join(load[first - 1 : last] for load in sheet.loads))
    return max(
        (letter for letter in rows if letter in sheet.beads), key=lambda x: rows[x], default=""
    )


def has_sizes(drawing: Drawing) -> bool:
    """Whether the marked rows, or all, are of beads of more than one size: they make a shape."""
    sheet = drawing.draft.sheet
    first, last = drawing.marked_rows if drawing.corner is not None else (1, sheet.rows)
    letters = set("".join(load[first - 1 : last] for load in sheet.loads)) & set(sheet.beads)
    return len({(sheet.beads[x].size, sheet.beads[x].shape) for x in letters}) > 1


def bead_off_ground(drawing: Drawing) -> str:
    """The bead that a motif begins with: not that of the ground, and if it can be of its size."""
    beads, ground = drawing.draft.sheet.beads, ground_of(drawing)
    others = [letter for letter in drawing.letters if letter != ground] or list(drawing.letters)
    if drawing.hand in others:
        return drawing.hand
    size = beads[ground].size if ground else ""
    return next((letter for letter in others if beads[letter].size == size), others[0])


class MotifLaying(BoardMode):
    """One motif before it is taken; one that was laid last is laid anew."""

    help = (
        ("TAB", "another motif: stripe, spiral, ring, dots, chevron; SHIFT TAB back"),
        ("1 to 0", "the bead that it lays; the ground stays"),
        ("UP DOWN", "choose a figure: every how many rows, width, climb, number round, rows"),
        ("LEFT RIGHT", "change that figure; the picture follows"),
        ("I", "a bead that is not here yet, of the ground's size: its colour"),
        ("N", "begin on the next stripe"),
        ("O", "its colour only, each bead keeps its size; or the bead itself"),
        ("F", "fill the ends: begin a repeat too that does not fit in whole"),
        ("ENTER", "take it"),
        ("ESC", "leave it"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host.drawing)
        self.host = host
        self.at = 0
        self.anew = False
        drawing = self.drawing
        last = drawing.draft.history.done[-1][0] if drawing.draft.history.done else None
        if isinstance(last, LayMotif):
            self.motif, self.anew = last, True
        else:
            first, end = drawing.marked_rows
            block = drawing.corner is not None
            self.motif = LayMotif(
                motif="stripe",
                bead=bead_off_ground(drawing),
                strand=drawing.cell.strand,
                first=first,
                last=end if block else _rows(host),
                keep_sizes=has_sizes(drawing),
            )
        self._look()

    def _look(self) -> None:
        """Show the sheet with the motif on it."""
        draft = self.drawing.draft
        base = draft.history.done[-1][1] if self.anew else draft.sheet
        try:
            self.drawing.preview = self.motif.on(base, draft.desk)
        except Fault as fault:
            self.drawing.preview = base
            self.drawing.said = f"{fault}."
            return
        if self.drawing.preview.loads == base.loads:
            self.drawing.said = (
                f"Nothing changes: {self.motif.bead} lies there already. A digit takes another"
                " bead, I one that is not here yet."
            )

    def _with(self, **figures: object) -> None:
        self.motif = self.motif.model_copy(update=figures)
        self._look()

    def press(self, key: str, character: str | None) -> None:
        """Change the motif, take it or leave it."""
        low = key.lower()
        if key == "escape":
            self.drawing.preview = None
            self.host.to_mode(None)
        elif key in {"enter", "space"}:
            self._take()
        elif key in {"tab", "t", "shift+tab"}:
            at = KINDS_IN_ORDER.index(self.motif.motif)
            on = -1 if key == "shift+tab" else 1
            self._of_kind(KINDS_IN_ORDER[(at + on) % len(KINDS_IN_ORDER)])
        elif character is not None and character in DIGITS:
            at = DIGITS.index(character)
            if at < len(self.drawing.in_reach):
                self._with(bead=self.drawing.in_reach[at])
        elif key in {"up", "down"}:
            self.at = (self.at + (1 if key == "down" else -1)) % len(FIGURES)
        elif key in {"left", "right"}:
            self._change(1 if key == "right" else -1)
        elif low == "n":
            stripes = self.drawing.stripes
            at = turned(stripes.index(self.motif.strand), "right", len(stripes))
            self._with(strand=stripes[at])
        elif low == "i":
            self._another_bead()
        elif low == "o":
            self._with(keep_sizes=not self.motif.keep_sizes)
        elif low == "f":
            self._with(fill_ends=not self.motif.fill_ends)

    def _of_kind(self, kind: Kind) -> None:
        """Begin another kind of motif, with its usual figures."""
        usual = {"repeat": 1, "climb": 0, "width": 1, "number": 1} | BEGIN[kind]
        usual["repeat"] = min(usual["repeat"], _rows(self.host))
        self._with(motif=kind, **usual)

    def _another_bead(self) -> None:
        """Choose the colour of a bead of the ground's size that is not here yet, and go on."""
        drawing = self.drawing
        ground = drawing.draft.sheet.beads[ground_of(drawing) or self.motif.bead]
        motif, host = self.motif, self.host

        def go_on(letter: str) -> None:
            drawing.hand, drawing.said = letter, ""
            laying = MotifLaying(host)
            host.to_mode(laying)
            laying._with(**motif.model_dump(exclude={"kind", "bead"}), bead=letter)

        colour_of_new_bead(host, ground.size, ground.shape, go_on, lambda: host.to_mode(self))

    def _change(self, by: int) -> None:
        figure = FIGURES[self.at]
        value = self._value(figure) + by
        if figure.least <= value <= figure.most(self.host):
            self._with(**{figure.field: value})

    def _value(self, figure: Figure) -> int:
        value = getattr(self.motif, figure.field)
        return _rows(self.host) if value is None else int(value)

    def _take(self) -> None:
        drawing = self.drawing
        drawing.preview = None
        if self.anew:
            drawing.undo()
        if drawing.do(self.motif):
            drawing.corner = None
            drawing.said = (
                f"{drawing.key('motif')} again changes this motif as long as nothing else is done."
            )
        self.host.to_mode(None)

    def touch(self, action: str) -> None:
        """Begin the motif at a touched cell; else as a key."""
        kind, _, rest = action.partition(" ")
        if kind == "cell":
            strand, row = map(int, rest.split())
            self._with(strand=strand, first=min(row, _rows(self.host)))
        elif kind == "kind":
            self._of_kind(next(one for one in KINDS_IN_ORDER if one == rest))
        elif kind == "figure":
            self.at = int(rest)
        else:
            super().touch(action)

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the motif's figures."""
        drawing, width = self.drawing, canvas.width
        x = canvas.text(1, y, "MOTIF", "call") + 1
        for kind in KINDS_IN_ORDER:
            here = kind == self.motif.motif
            canvas.zone(x, y, len(kind) + 2, 1, f"kind {kind}")
            x = canvas.text(x, y, f"[{kind}]" if here else f" {kind} ", "picked" if here else "")
        canvas.text(x + 1, y, f"of {self.motif.bead}", "bold")
        draw_beads_to_pick(canvas, y + 1, drawing)
        half = (width - 2) // 3
        for number, figure in enumerate(FIGURES):
            x, line = 1 + number % 3 * half, y + 2 + number // 3
            here = number == self.at
            canvas.zone(x, line, half, 1, f"figure {number}")
            value = self._value(figure)
            name = figure.name.replace("…", str(value)).replace("every 1 rows", "every row")
            said = name if "…" in figure.name else f"{name} {value}"
            draw_value(canvas, x, line, said, here=here)
        ends = "the ends are filled too" if self.motif.fill_ends else "whole repeats only"
        sizes = "; its colour only, sizes stay" if self.motif.keep_sizes else ""
        start = f"begins on strand {self.motif.strand}, {ends}{sizes}"
        canvas.text(1, y + 4, start, "", width - 2)
        says = f"{self.motif.motif}: {KINDS[self.motif.motif]}"
        canvas.text(1, y + 5, drawing.said or says, "warn" if drawing.said else "dim", width - 2)
        keys = (("TAB", "motif", "tab"), ("ENTER", "take it", "enter"), ("I", "a new bead", "i"),
                ("O", "colour only", "o"),
                ("N", "next stripe", "n"), ("F", "ends", "f"))  # fmt: skip
        last = (drawing.key("help"), "help", "help"), ("ESC", "leave it", "escape")
        draw_keys_line(canvas, (*keys, *last))
