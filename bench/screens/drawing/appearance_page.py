"""The appearances of a repeat, to be leafed through: each drawn on the rows that are marked."""

from __future__ import annotations

import random

from bench.craft.text import Fault
from bench.craft.words import in_words
from bench.design.appearances import MOST_LISTED, Appearance, how_many, listed, sampled
from bench.design.board_operations import LayRepeat
from bench.screens.drawing.drawing import DIGITS
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.motif_laying import has_sizes
from bench.screens.drawing.panel import draw_beads_to_pick, draw_keys_line
from bench.screens.kit.canvas import Canvas

MOST_ROWS = 3
MOST_BEADS = 4
SAMPLE = 60


class AppearancePage(BoardMode):
    """Every way that a repeat of some rows can look in two beads or more, one at a time.

    Of more than can be listed a sample is shown, and the count; `most` beads that are not ground.
    """

    help = (
        ("LEFT RIGHT", "leaf through; the picture shows each"),
        ("1 to 0", "the bead of the ground, then the others, by turns"),
        ("R", "a repeat of one, two or three rows"),
        ("C", "in two, three or four beads"),
        ("UP DOWN", "a sample: at most so many beads that are not the ground"),
        ("S", "another sample"),
        ("O", "colours only, each bead keeps its size; or the beads themselves"),
        ("E", "end over end counts as alike too"),
        ("ENTER", "take it, on the rows that are marked, or on all"),
        ("ESC", "leave it"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host.drawing)
        self.host = host
        drawing = self.drawing
        letters = drawing.letters
        here = drawing.draft.sheet.at(drawing.cell)
        ground = here if here in letters else letters[0]
        others = [letter for letter in letters if letter != ground]
        self.beads = [ground, *(others or [ground])[:1]]
        self.next_bead = 0
        self.rows = 1
        self.most: int | None = None
        self.end_over_end = False
        self.seed = 1
        self.at = 0
        self.marked = (
            drawing.marked_rows if drawing.corner else (1, max(1, drawing.draft.sheet.rows))
        )
        self.keep_sizes = has_sizes(drawing)
        self._find()

    @property
    def _alike(self) -> str:
        return "end over end" if self.end_over_end else "turned and climbed"

    def _find(self) -> None:
        structure, colours = self.drawing.draft.sheet.structure, len(self.beads)
        self.count = how_many(structure, self.rows, colours, alike=self._alike)
        self.found: tuple[Appearance, ...]
        if self.count <= MOST_LISTED:
            self.found = listed(structure, self.rows, colours, alike=self._alike)
        else:
            draw = random.Random(self.seed).randrange
            self.found = sampled(
                structure, self.rows, colours, SAMPLE, draw=draw, most=self.most, alike=self._alike
            )
        self.at = 0
        self._look()

    def _operation(self) -> LayRepeat:
        first, last = self.marked
        cells = self.found[self.at].beads
        beads, keep = tuple(self.beads), self.keep_sizes
        return LayRepeat(cells=cells, beads=beads, first=first, last=last, keep_sizes=keep)

    def _look(self) -> None:
        draft = self.drawing.draft
        try:
            self.drawing.preview = self._operation().on(draft.sheet, draft.desk)
        except Fault as fault:
            self.drawing.preview, self.drawing.said = None, f"{fault}."

    def press(self, key: str, character: str | None) -> None:
        """Leaf, choose beads, take one or leave it."""
        low = key.lower()
        if key == "escape":
            self.drawing.preview = None
            self.host.to_mode(None)
            return
        if key in {"enter", "space"}:
            self.drawing.preview = None
            if self.drawing.do(self._operation()):
                self.drawing.corner = None
            self.host.to_mode(None)
            return
        if key in {"left", "right"}:
            self.at = (self.at + (1 if key == "right" else -1)) % len(self.found)
        elif character is not None and character in DIGITS:
            at = DIGITS.index(character)
            if at < len(self.drawing.in_reach):
                self.beads[self.next_bead] = self.drawing.in_reach[at]
                self.next_bead = (self.next_bead + 1) % len(self.beads)
        elif low == "r":
            self.rows = self.rows % MOST_ROWS + 1
            self._find()
        elif low == "c":
            self._more_beads()
        elif low == "o":
            self.keep_sizes = not self.keep_sizes
        elif low == "e":
            self.end_over_end = not self.end_over_end
            self._find()
        elif low == "s" and self.count > MOST_LISTED:
            self.seed += 1
            self._find()
        elif key in {"up", "down"} and self.count > MOST_LISTED:
            cells = self.rows * self.drawing.draft.sheet.strands
            self.most = max(1, min(cells, (self.most or cells) + (1 if key == "up" else -1)))
            self._find()
        self._look()

    def _more_beads(self) -> None:
        """One bead more, of those that are not taken yet; past the most two again."""
        free = [letter for letter in self.drawing.letters if letter not in self.beads]
        if len(self.beads) < MOST_BEADS and free:
            self.beads.append(free[0])
        else:
            del self.beads[2:]
        self.next_bead = min(self.next_bead, len(self.beads) - 1)
        self._find()

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw which one is shown, of how many."""
        drawing, width = self.drawing, canvas.width
        one = self.found[self.at]
        noun = "row" if self.rows == 1 else "rows"
        end = canvas.text(
            1, y, f"APPEARANCES of {self.rows} {noun} in {in_words(len(self.beads))} beads", "call"
        )
        if self.count <= MOST_LISTED:
            said = f"{self.at + 1} of {self.count}"
        else:
            said = f"{self.count:,} in all: {self.at + 1} of a sample"
        canvas.text(end + 2, y, said, "", width - end - 3)
        canvas.text(1, y + 1, one.says, "bold", width - 2)
        ground, *others = self.beads
        which = "the ground" if self.next_bead == 0 else f"in place of {self.beads[self.next_bead]}"
        only = "colours only, sizes stay; " if self.keep_sizes else ""
        beads = f"{', '.join(others)} on {ground}; {only}the next digit picks {which}"
        canvas.text(1, y + 2, beads, "", width - 2)
        draw_beads_to_pick(canvas, y + 3, drawing)
        most = "" if self.most is None else f"; at most {self.most} beads that are not ground"
        alike = "one turned end over end is the same" if self.end_over_end else (
            "turned and moved along the braid is the same"
        )  # fmt: skip
        canvas.text(1, y + 4, f"{alike}{most}", "dim", width - 2)
        canvas.text(1, y + 5, drawing.said, "warn", width - 2)
        keys = (("LEFT RIGHT", "leaf", "right"), ("ENTER", "take it", "enter"), ("R", "rows", "r"),
                ("C", "beads", "c"))  # fmt: skip
        more = (("S", "sample", "s"),) if self.count > MOST_LISTED else ()
        last = (drawing.key("help"), "help", "help"), ("ESC", "leave it", "escape")
        draw_keys_line(canvas, (*keys, *more, ("E", "end over end", "e"), *last))


def appearances(host: BoardHost) -> None:
    """Put the appearances up, where what looks alike is known."""
    if not host.drawing.map.known:
        host.drawing.said = "What looks alike is not known here: the columns are not."
    else:
        host.to_mode(AppearancePage(host))
