"""Figures on a page, one of them picked, each changed by left and right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.screens.kit.canvas import Canvas


@dataclass
class Field:
    """One figure: its name, its value, its step and bounds, and its unit."""

    name: str
    value: float
    step: float
    least: float
    most: float
    unit: str = "mm"

    def change(self, steps: int) -> None:
        """Go on by so many steps, within the bounds."""
        value = round((self.value + steps * self.step) / self.step) * self.step
        self.value = min(self.most, max(self.least, round(value, 3)))

    @property
    def shown(self) -> str:
        """The value with its unit."""
        return f"{self.value:g} {self.unit}".rstrip()


def draw_fields(canvas: Canvas, y: int, fields: Sequence[Field], picked: int, width: int) -> int:
    """Draw the figures, a line each; return the line below."""
    for number, field in enumerate(fields):
        here = number == picked
        canvas.zone(0, y, width, 1, f"field {number}")
        canvas.text(1, y, "▶" if here else " ", "call")
        canvas.text(3, y, field.name, "bold" if here else "", 24)
        draw_value(canvas, 28, y, field.shown, here=here)
        y += 1
    return y


def draw_value(canvas: Canvas, x: int, y: int, shown: str, *, here: bool) -> None:
    """Draw a value; the picked one framed by arrows that can be touched to change it."""
    end = canvas.text(x, y, f"◀ {shown} ▶" if here else f"  {shown}", "picked" if here else "")
    if here:
        canvas.zone(x, y, 2, 1, "left")
        canvas.zone(end - 2, y, 2, 1, "right")
