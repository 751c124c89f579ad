"""A shape from a wish: length, thicknesses and beads at hand, and up to three proposals."""

from __future__ import annotations

from itertools import groupby

from bench.craft.beads import numbered
from bench.craft.growth import sizes_of
from bench.craft.text import Fault
from bench.design.operations import Shape
from bench.design.resizing import proposals
from bench.design.shape import Fit, thickness_mm
from bench.design.sheet import Sheet
from bench.screens.drawing.fields import Field, draw_fields
from bench.screens.drawing.host import BoardHost
from bench.screens.drawing.mode import BoardMode
from bench.screens.drawing.question import Question
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.picking import moved, window

USUAL_SIZES = ("15/0", "11/0", "8/0", "6/0")
LENGTH, THICKEST, WHERE, TOP, END = range(5)


class ShapePage(BoardMode):
    """The wish, and what comes of it."""

    whole = True
    help = (
        ("UP DOWN", "choose a figure; LEFT RIGHT change it; a digit types it"),
        ("A to F", "beads at hand: take a size in, or leave it out"),
        ("W", "wish a thickness at one height more, a waist for one; X takes it out"),
        ("ENTER", "work the proposals out; then 1 2 3 look at one, ENTER takes it"),
        ("ESC", "leave it"),
    )

    def __init__(self, host: BoardHost) -> None:
        super().__init__(host.drawing)
        self.host = host
        self.fields = [
            Field("beaded length", 55, 1, 5, 400),
            Field("greatest thickness", 11.5, 0.5, 2, 40),
            Field("where it is thickest", 60, 5, 0, 100, "% down"),
            Field("thickness at the top", 4.5, 0.5, 2, 40),
            Field("thickness at the end", 4.5, 0.5, 2, 40),
        ]
        self.waists: list[tuple[Field, Field]] = []
        self.sizes = tuple(size.name for size in numbered("round"))
        own = {size.name for size in sizes_of(self.drawing.draft.sheet.pattern).values()}
        self.at_hand = {name for name in self.sizes if name in own} or set(USUAL_SIZES)
        self.picked = 0
        self.fits: tuple[Fit, ...] = ()
        self.looked_at = 0
        self.wish_of_fits: Shape | None = None
        """The wish that the proposals are of, or will be once they are worked out."""
        self.working = False

    @property
    def _all(self) -> list[Field]:
        return [*self.fields, *(field for pair in self.waists for field in pair)]

    def _wish(self) -> Shape:
        """The wish as an operation."""
        length, thickest, where, top, end = (field.value for field in self.fields)
        heights = {0.0: top, 1.0: end}
        heights[round(where / 100, 3)] = thickest
        heights |= {round(at.value / 100, 3): mm.value for at, mm in self.waists}
        return Shape(
            length_mm=length,
            thickness=tuple(sorted(heights.items())),
            sizes=tuple(name for name in self.sizes if name in self.at_hand),
        )

    def press(self, key: str, character: str | None) -> None:
        """Change the wish, have it worked out, look at a proposal, take it."""
        low = key.lower()
        letters = "abcdefg"[: len(self.sizes)]
        if key == "escape":
            self._forget()
            self.host.to_mode(None)
        elif key in {"up", "down"}:
            self.picked = moved(self.picked, key, len(self._all))
        elif key in {"left", "right"}:
            self._all[self.picked].change(1 if key == "right" else -1)
            self._forget()
        elif character is not None and low in letters:
            self.at_hand ^= {self.sizes[letters.index(low)]}
            self._forget()
        elif low == "w":
            self.waists.append(
                (Field("also at", 40, 5, 0, 100, "% down"), Field("as thick as", 6, 0.5, 2, 40))
            )
            self.picked = len(self._all) - 2
            self._forget()
        elif low == "x" and self.waists:
            self.waists.pop()
            self.picked = min(self.picked, len(self._all) - 1)
            self._forget()
        elif self.fits and character is not None and character in "123":
            self.looked_at = min(int(character), len(self.fits)) - 1
        elif character is not None and character.isascii() and character.isdigit():
            self._type(character)
        elif key in {"enter", "space"}:
            if self.fits:
                self._take()
            elif not self.working:
                self._work_out()

    def touch(self, action: str) -> None:
        """Pick a touched figure; else as a key."""
        kind, _, which = action.partition(" ")
        if kind == "field":
            self.picked = int(which)
        else:
            super().touch(action)

    def _forget(self) -> None:
        """Let the proposals go, with those that are still being worked out."""
        self.fits, self.looked_at = (), 0
        self.wish_of_fits, self.working = None, False

    def _type(self, digit: str) -> None:
        field = self._all[self.picked]

        def look(text: str) -> str:
            try:
                value = float(text.replace(",", "."))
            except ValueError:
                return "type a number"
            if not field.least <= value <= field.most:
                return f"{field.least:g} to {field.most:g} {field.unit}"
            return ""

        def keep(text: str) -> None:
            field.value = float(text.replace(",", "."))
            self._forget()

        asks = f"{field.name.capitalize()}, in {field.unit}?"
        self.host.ask(Question(asks, look, keep, digit, begun=True))

    def _work_out(self) -> None:
        wish, sheet = self._wish(), self.drawing.draft.sheet
        self.wish_of_fits, self.working = wish, True

        def work() -> object:
            return _fitted(wish, sheet)

        def worked_out(found: object) -> None:
            if self.wish_of_fits is wish:
                self._worked_out(found)

        self.host.beside(work, worked_out)

    def _worked_out(self, found: object) -> None:
        self.working = False
        if isinstance(found, str):
            self.drawing.said = found
        elif isinstance(found, tuple):
            self.fits, self.looked_at = found, 0
            if found[0].in_the_way:
                self.drawing.said = f"No rows come near. The nearest is {found[0].in_the_way}."

    def _take(self) -> None:
        drawing, wish = self.drawing, self.wish_of_fits
        assert wish is not None
        if drawing.do(wish.model_copy(update={"take": self.looked_at + 1})):
            drawing.row = 1
            self.host.to_mode(None)
            core = drawing.draft.sheet.pattern.core
            inside = ", with a core" if core is not None and core.beads else ""
            back = drawing.key("undo")
            drawing.said = f"The shape is laid on all strands{inside}; {back} takes it back."

    def draw(self, canvas: Canvas, y: int) -> None:
        """Draw the wish, and beside it the proposals."""
        width, height = canvas.width, canvas.height
        canvas.text(1, 0, "A SHAPE FROM A WISH", "bold")
        canvas.rule(1)
        y = draw_fields(canvas, 2, self._all, self.picked, min(width, 46)) + 1
        if self.fits and width >= 72:
            fit = self.fits[self.looked_at]
            columns = self.drawing.map.columns
            draw_silhouette(canvas, 48, 2, width - 50, y - 3, fit, columns)
        canvas.text(1, y, "beads at hand", "dim")
        x = 15
        for key, name in zip("ABCDEFG", self.sizes, strict=False):
            taken = name in self.at_hand
            canvas.zone(x, y, len(name) + 4, 1, key.lower())
            end = canvas.text(canvas.text(x, y, key, "key") + 1, y, name,
                              "picked" if taken else "dim")  # fmt: skip
            x = end + 2
            if x + 8 > width:
                x, y = 15, y + 1
        y += 2
        if self.working:
            canvas.text(1, y, "being worked out …", "dim")
        for line in wrap(self.drawing.said, width - 2)[:3] if self.drawing.said else ():
            canvas.text(1, y, line, "warn")
            y += 1
        room = height - 2 - y
        lines = 3 if room >= 3 * len(self.fits) else 2
        for number in window(len(self.fits), self.looked_at, room // lines):
            self._draw_fit(canvas, y, number, self.fits[number])
            y += lines
        weights = "off in mm; weighed: a mm² of thickness 1, of length 0.2"
        if self.fits and y <= height - 3:
            canvas.text(1, height - 3, weights, "dim", width - 2)
        main = "take it" if self.fits else "work it out"
        self.draw_foot(canvas, (("ENTER", main), ("W", "a height more")))

    def _draw_fit(self, canvas: Canvas, y: int, number: int, fit: Fit) -> None:
        """Draw a proposal on two lines: its rows, and how far it is off."""
        here = number == self.looked_at
        sizes = fit.wish.sizes
        runs = [(sizes[row].name, len(list(group))) for row, group in groupby(fit.rows)]
        canvas.zone(0, y, canvas.width, 2, str(number + 1))
        canvas.text(1, y, str(number + 1), "key")
        rows = " ".join(f"{count}×{name}" for name, count in runs)
        canvas.text(3, y, rows, "picked" if here else "bold", canvas.width - 4)
        heights = zip(fit.wish.thickness, fit.off_mm, strict=True)
        off = ", ".join(f"{100 * at:.0f}% {mm:+.1f}" for (at, _), mm in heights)
        long = f"{len(fit.rows)} rows, {fit.length_mm:.0f} mm ({fit.too_long_mm:+.1f})"
        canvas.text(3, y + 1, f"{long}; off {off}", "", canvas.width - 4)


def _fitted(wish: Shape, sheet: Sheet) -> object:
    """The proposals for a wish, or why there are none."""
    try:
        return proposals(sheet, wish.wish(sheet))
    except (Fault, ValueError) as fault:
        return f"{fault}."


def draw_silhouette(
    canvas: Canvas, x: int, y: int, width: int, height: int, fit: Fit, columns: int
) -> None:
    """Draw the outline of a proposal lying down, its first row on the left, to scale.

    A column of cells is as wide as half a cell is high.
    """
    sizes = fit.wish.sizes
    thick = [thickness_mm(sizes[row], columns) for row in fit.rows]
    mm = max(fit.length_mm / width, max(thick) / (2 * height))
    long = round(fit.length_mm / mm)
    for column in range(min(width, long)):
        row = min(len(thick) - 1, column * len(thick) // max(1, long))
        dots = max(1, round(thick[row] / mm))
        top = height - dots // 2
        for line in range(height):
            upper = top <= 2 * line < top + dots
            lower = top <= 2 * line + 1 < top + dots
            sign = {(True, True): "█", (True, False): "▀", (False, True): "▄"}.get((upper, lower))
            if sign:
                canvas.text(x + column, y + line, sign, "rule")
