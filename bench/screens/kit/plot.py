"""Plots in cells: values over pieces with a band behind them, and bars."""

from __future__ import annotations

from dataclasses import dataclass

from bench.screens.kit.canvas import Canvas

AXIS = 6
"""Columns for the numbers beside a plot."""
_STEPS = (1, 2, 3, 5, 10, 15, 20, 30, 60, 120, 300, 600, 1200, 3000, 6000)
"""Minutes that a row can be worth."""


@dataclass(frozen=True)
class PlotPoint:
    """One piece on a plot: minutes, the band's low, middle and high, and its sign."""

    number: int
    value: float | None
    low: float
    middle: float
    high: float
    sign: str = "●"


def draw_points(
    canvas: Canvas, x: int, y: int, width: int, height: int, points: list[PlotPoint]
) -> None:
    """Draw points over their numbers, newest on the right; the band is dots between two lines.

    `height` counts the line of numbers below. The last points that find room are shown.
    """
    rows = height - 1
    wide = width - AXIS
    step = max(1, min(4, wide // max(1, len(points))))
    shown = points[-(wide // step) :]
    if not shown or rows < 3:
        return
    values = [v for s in shown for v in (s.value, s.low, s.high) if v is not None]
    base, each = _scale(min(values), max(values), rows)

    def row_of(value: float) -> int:
        return y + rows - 1 - max(0, min(rows - 1, int((value - base) / each)))

    for index, point in enumerate(shown):
        at = x + AXIS + step * index
        for row in range(row_of(point.high), row_of(point.low) + 1):
            canvas.text(at, row, "·" * step, "dim")
        canvas.text(at, row_of(point.middle), "─" * step, "rule")
    for index, point in enumerate(shown):
        if point.value is not None:
            at = x + AXIS + step * index
            outside = not point.low <= point.value <= point.high
            style = "warn" if outside else "call"
            canvas.text(at + (step - 1) // 2, row_of(point.value), point.sign, style)
    _numbers(canvas, x, y, rows, base, each)
    last = -99
    for index, point in enumerate(shown):
        at = x + AXIS + step * index
        if point.value is None:
            canvas.text(at, y + rows, "next", "bold")
        elif at >= last + 8 and at < x + AXIS + step * (len(shown) - 1) - 4:
            canvas.text(at + (step - 1) // 2, y + rows, str(point.number))
            last = at


def _scale(least: float, most: float, rows: int) -> tuple[float, float]:
    """Where the axis begins and what a row is worth, both round."""
    for each in _STEPS:
        base = int(least / each) * each
        if base + rows * each > most:
            return float(base), float(each)
    return 0.0, most / (rows - 1)


def _numbers(canvas: Canvas, x: int, y: int, rows: int, base: float, each: float) -> None:
    for row in range(0, rows, 2):
        canvas.right(y + rows - 1 - row, f"{base + each * row:.0f} ", "", x + AXIS)


def bar(length: float, room: int) -> str:
    """A bar of a share of the room, to the half cell."""
    halves = round(2 * max(0.0, min(1.0, length)) * room)
    return "█" * (halves // 2) + "▌" * (halves % 2)
