"""Measuring a finished piece: one figure after the other, then how the prediction did."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from bench.craft.measuring import MOST, Corrections
from bench.craft.words import length_said
from bench.making.expected_piece import ExpectedPiece
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.figure import draw_figure, put_on
from bench.screens.kit.framed_page import MARGIN, draw_choices, draw_page_keys, framed_page
from bench.screens.kit.page import paragraph
from bench.screens.kit.view import View

WHAT_A_SAMPLE_IS = (
    "Signed off, it is what every later piece is held against: look it over and measure it first,"
    " change a row if it wants it, and sign off the one that is right."
)
SAMPLE_CHOICES = (("Y", "yes, it is the sample", ""), ("N", "no, or not yet; ENTER too", ""))


@dataclass(frozen=True, slots=True)
class Figure:
    """Something to measure. `digits` behind the point are shown; predicted is None if unknown.

    `low` and `high` are the ends of what was predicted, where that is a range; without `low`, no
    more than `high` was predicted.
    """

    key: str
    """Its name in the journal."""
    title: str
    how: str
    unit: str
    digits: int
    predicted: float | None
    low: float | None = None
    high: float | None = None

    @property
    def predicted_words(self) -> str:
        """The prediction in words; empty where there is none."""
        if self.predicted is None:
            return ""
        if self.low is not None and self.high is not None:
            return length_said(self.low, self.high)
        at_most = "at most " if self.high is not None else ""
        return f"{at_most}{self.predicted:.{self.digits}f} {self.unit}"

    def difference(self, value: float) -> str:
        """How a measured figure differs from its prediction, in words."""
        if self.predicted is None:
            return "not predicted"
        if self.high is not None and (self.low or 0.0) <= value <= self.high:
            return "as predicted"
        more = value - self.predicted
        change = round(100 * more / self.predicted)
        if not change or not round(more, self.digits):
            return "as predicted"
        size = f"{abs(more):.{self.digits}f} {self.unit}"
        return f"{size} {'more' if more > 0 else 'less'}, {change:+d} %"


LENGTH = "The braid from the first plain cross to the last, lying loose."
THICKNESS = "Across the thickest place, beads and all."
THREAD_LEFT = "One strand from the end of the braid to its cut end, before it is trimmed."
WEIGHT = "The piece on the scale, ends trimmed."


def figures_of(expected: ExpectedPiece) -> tuple[Figure, ...]:
    """What is measured on a finished piece, in the order in which it lies at hand."""

    def known(figure: float | None) -> float | None:
        return figure if figure is not None and figure > 0 else None

    left = known(expected.thread_left_mm)
    return (
        Figure(
            "length_mm",
            "LENGTH",
            LENGTH,
            "mm",
            0,
            known(expected.length_mm),
            known(expected.length_low_mm),
            known(expected.length_high_mm),
        ),
        Figure(
            "thickness_mm",
            "THICKNESS",
            THICKNESS,
            "mm",
            1,
            known(expected.thickness_mm),
            high=expected.thickness_mm if expected.thickness_at_most else None,
        ),
        Figure("thread_left_mm", "THREAD LEFT", THREAD_LEFT, "mm", 0, left),
        Figure("weight_g", "WEIGHT", WEIGHT, "g", 2, known(expected.weight_g)),
    )


@dataclass
class Measuring:
    """What was measured so far. `at` is the figure asked for; behind the last is the sample."""

    figures: tuple[Figure, ...]
    asks_sample: bool
    what: str
    """Pattern, size and colourway, as the sample is named."""
    values: dict[str, float] = field(default_factory=dict)
    at: int = 0
    typed: str = ""
    sample: bool | None = None
    said: str = ""
    _doubted: str = ""

    @property
    def figure(self) -> Figure | None:
        """The figure asked for now; None when all were asked for."""
        return self.figures[self.at] if self.at < len(self.figures) else None

    @property
    def at_the_start(self) -> bool:
        """Whether nothing is typed or kept yet."""
        return self.at == 0 and not self.typed

    @property
    def done(self) -> bool:
        """Whether nothing is left to ask."""
        return self.figure is None and (self.sample is not None or not self.asks_sample)

    def skip_rest(self) -> None:
        """Ask for nothing more."""
        self.at = len(self.figures)
        if self.sample is None:
            self.sample = False

    def press(self, key: str, character: str | None) -> None:
        """Take a key."""
        self.said = ""
        if self.figure is None:
            if key == "backspace":
                self._step_back()
            elif key in {"y", "n", "enter"}:
                self.sample = key == "y"
        elif key == "enter":
            self._take()
        elif key == "backspace":
            if self.typed:
                self.typed = self.typed[:-1]
            else:
                self._step_back()
        elif character is not None:
            self.typed = put_on(self.typed, character)

    def _step_back(self) -> None:
        if self.at > 0:
            self.at -= 1
            value = self.values.pop(self.figures[self.at].key, None)
            self.typed = "" if value is None else f"{value:g}"

    def _take(self) -> None:
        figure = self.figures[self.at]
        if self.typed and self.typed != ".":
            value = float(self.typed)
            may_be_nothing = figure.key == "thread_left_mm"
            if value == 0 and not may_be_nothing:
                self.said = f"{figure.title.lower()} cannot be 0 {figure.unit}: ENTER alone skips"
                self.typed = ""
                return
            off = far_off(value, figure.predicted)
            if off and not may_be_nothing and self._doubted != f"{figure.key} {self.typed}":
                self._doubted = f"{figure.key} {self.typed}"
                self.said = f"that is {off} what was predicted: ENTER again if it is so"
                return
            self.values[figure.key] = value
        self.typed = ""
        self.at += 1


def far_off(value: float, predicted: float | None) -> str:
    """How a figure lies to its prediction, in words, if far too large or small; else empty."""
    if predicted is None or predicted <= 0 or value <= 0:
        return ""
    if value > MOST * predicted:
        return f"{value / predicted:.0f} times"
    if value < predicted / MOST:
        return f"1/{predicted / value:.0f} of"
    return ""


def draw_measuring(measuring: Measuring, view: View) -> Canvas:
    """Draw the figure that is asked for, or the question of the sample."""
    canvas = framed_page(view, "MEASURE IT")
    room = view.width - 2 * MARGIN
    figure = measuring.figure
    if figure is None:
        canvas.right(1, "the last question", "bold", view.width - 3)
        _draw_sample(canvas, measuring, view)
        _draw_back(canvas, view)
        return canvas
    count = f"{measuring.at + 1} of {len(measuring.figures)}"
    canvas.right(1, count, "bold", view.width - 3)
    canvas.text(MARGIN, 3, figure.title, "bold", room)
    y = paragraph(canvas, 4, figure.how, "", None, MARGIN) + 1
    y = draw_figure(canvas, y, measuring.typed or "-", figure.unit) + 1
    expected = figure.predicted_words
    canvas.text(3, y, f"predicted: {expected}" if expected else "no prediction", "bold", room)
    canvas.text(3, y + 1, measuring.said, "warn", room)
    for number, known in enumerate(f for f in measuring.figures if f.key in measuring.values):
        value = measuring.values[known.key]
        text = f"{known.title.lower()} {value:g} {known.unit}: {known.difference(value)}"
        if y + 3 + number < view.height - 3:
            canvas.text(3, y + 3 + number, text, "", room)
    canvas.text(3, view.height - 3, "type it, ENTER keeps it   ENTER alone: not measured", "", room)
    canvas.zone(3, view.height - 3, room, 1, "enter")
    _draw_back(canvas, view)
    return canvas


def _draw_back(canvas: Canvas, view: View) -> None:
    draw_page_keys(canvas, view, ("BACKSPACE", "step back"), ("ESC", "leave the rest out"))


def _draw_sample(canvas: Canvas, measuring: Measuring, view: View) -> None:
    asks = f"Is this piece the sample for {measuring.what}?"
    y = paragraph(canvas, 3, asks, "bold", None, MARGIN)
    y = paragraph(canvas, y + 1, WHAT_A_SAMPLE_IS, "", None, MARGIN)
    y = draw_choices(canvas, y + 1, SAMPLE_CHOICES, gap=0)
    later = f"Later: your times, its pattern, pieces: {view.keys.name('measure')} asks again."
    paragraph(canvas, y + 1, later, "", None, MARGIN)


def draw_measured(measuring: Measuring, shifts: Corrections, view: View) -> Canvas:
    """Draw prediction and measurement side by side, and what the next predictions become."""
    canvas = framed_page(view, "MEASURED")
    room = view.width - 2 * MARGIN
    y = 3
    heads = f"{'':<12}{'predicted':>15} {'measured':>9}  difference"
    canvas.text(3, y, heads if measuring.values else "Nothing was measured.", "bold", room)
    for figure in measuring.figures:
        value = measuring.values.get(figure.key)
        if value is None:
            continue
        y += 1
        shown = f"{value:g} {figure.unit}"
        line = f"{figure.title.lower():<12}{figure.predicted_words or '-':>15} {shown:>9}"
        canvas.text(3, y, f"{line}  {figure.difference(value)}", "", room)
    y += 2
    for text in _after(measuring, shifts.says):
        y = paragraph(canvas, y, text, "", view.height - 3, MARGIN)
    canvas.text(3, view.height - 2, "any key: back", "bold", room)
    canvas.zone(0, 0, view.width, view.height, "enter")
    return canvas


def _after(measuring: Measuring, shifts: Sequence[str]) -> list[str]:
    said = []
    if shifts:
        said.append("The next predictions shift towards what was measured:")
        said += [f"  {shift}" for shift in shifts]
    if measuring.sample:
        said += ["", f"Signed off as the sample for {measuring.what}."]
    return said
