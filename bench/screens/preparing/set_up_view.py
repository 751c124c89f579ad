"""Setting up at the stand as a picture."""

from __future__ import annotations

from bench.making.set_up_steps import SetUp
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.header import headed
from bench.screens.kit.page import caution, foot, paragraph, title
from bench.screens.kit.view import View


def draw_setting_up(setting_up: SetUp, view: View) -> Canvas:
    """Draw the step in hand large, all steps, and what belongs to the one in hand."""
    canvas = headed(setting_up.braid.state, view)
    step = setting_up.steps[setting_up.at]
    last = setting_up.at == len(setting_up.steps) - 1
    main = "done: the first cross" if last else "done: next step"
    below = foot(canvas, view, main)
    if view.said:
        below -= 1
        canvas.text(1, below, view.said, "warn")
    count = f"step {setting_up.at + 1} of {len(setting_up.steps)}"
    _, y = title(canvas, view, step.word, "call", [count])
    for number, one in enumerate(setting_up.steps):
        here = number == setting_up.at
        sign = "▶" if here else "■" if number < setting_up.at else "·"
        canvas.text(1, y, sign, "call" if here else "")
        for line in wrap(one.do, view.width - 4) if here else [one.do]:
            canvas.text(3, y, line, "bold" if here else "", view.width - 4)
            y += 1
    canvas.rule(y)
    lines = len(wrap(step.caution, view.width - 12))
    y = _details(canvas, y + 1, step.details, below - lines)
    if step.caution:
        caution(canvas, min(y + 1, below - lines), step.caution, below)
    return canvas


def _details(canvas: Canvas, y: int, details: tuple[str, ...], below: int) -> int:
    """Write the details, in two columns where they are many and short."""
    column = canvas.width // 2
    if len(details) > 4 and all(len(line) <= column - 2 for line in details):
        rows = -(-len(details) // 2)
        for number, line in enumerate(details):
            canvas.text(1 + number // rows * column, y + number % rows, line, "bold")
        return y + rows
    for detail in details:
        y = paragraph(canvas, y, detail, "", below)
    return min(y, below)
