"""The row shown whole, where a press counts it: each of its crosses with its beads."""

from __future__ import annotations

from bench.craft.coming_up import changed
from bench.craft.plan import Plan, PlannedCross
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.foot import WIDE
from bench.screens.kit.large_letters import HEIGHT, big
from bench.screens.kit.view import View

LETTER = 6
"""Columns that a large letter takes at most, the gap behind it included."""
GAP = 2
"""Columns between two crosses."""


def draw_row_letters(
    canvas: Canvas,
    x: int,
    y: int,
    plan: Plan,
    step: PlannedCross,
    scale: int,
    room: int,
    view: View,
) -> bool:
    """Draw the letters of every cross of the row still to come, its call on the rule under them.

    Returns whether there is room for that.
    """
    made = plan.row_at(step.cross)[1] - 1
    crosses = [plan.step(cross) for cross in range(step.cross - made, plan.row_end(step.cross) + 1)]
    beads = [[bead for one in words.sides(plan, row) for bead in one.beads] for row in crosses]
    letters = max(map(len, beads))
    while scale and len(crosses) * (LETTER * letters + GAP) * scale - GAP * scale > room + scale:
        scale -= 1
    if not scale:
        return False
    wide = (LETTER * letters + GAP) * scale
    below = y + HEIGHT * scale
    for number, (row, letters_of) in enumerate(zip(crosses, beads, strict=True)):
        left = x + number * wide
        if row.cross < step.cross:
            canvas.text(left, below, " made ", "")
            continue
        for place, bead in enumerate(letters_of):
            sign = view.signs.get(bead, bead) or "-"
            big(canvas, left + place * LETTER * scale, y, sign, "bead", scale)
        call = row.call.replace(" and ", "+").upper()
        shown = f" {number + 1} {call} "
        style = "picked" if row.cross == step.cross else "bold"
        canvas.text(left, below, shown if len(shown) <= wide else f" {number + 1} ", style)
    return True


def draw_row_words(
    canvas: Canvas, x: int, y: int, height: int, plan: Plan, step: PlannedCross, room: int
) -> None:
    """Write every cross of the row that is still to come, each side with its bead."""
    where, _ = words.row_words(plan, step.cross)
    canvas.text(x, y, where.upper() if canvas.width < WIDE else "THE ROW", "bold", room)
    y, end = y + 1, y + height
    for cross in range(step.cross, plan.row_end(step.cross) + 1):
        row = plan.step(cross)
        said = ", ".join(_side_words(one, new_at(plan, row)) for one in words.sides(plan, row))
        style = "call" if cross == step.cross else "bold"
        for number, line in enumerate(wrap(said, room - 3)):
            if y < end:
                canvas.text(x, y, "" if number else f"{plan.row_at(cross)[1]}", "key")
                canvas.text(x + 3, y, line, style)
            y += 1
    for letter in sorted(_letters_to_come(plan, step)):
        if y < end:
            bead = plan.pattern.beads[letter]
            canvas.text(x, y, "██", bead.colour)
            canvas.text(x + 3, y, f"{letter}  {bead.name} {bead.size}", "", room - 3)
        y += 1


def new_at(plan: Plan, step: PlannedCross) -> set[str]:
    """The places at which a cross carries another bead than the strand's last."""
    places = plan.structure.places
    return {
        places[move.transfer.start - 1] for move in step.carried if changed(plan, move, step.cross)
    }


def _side_words(one: words.Side, new: set[str]) -> str:
    """A side with its beads, those that are new called so: 'TOP new c'."""
    beads = (
        f"new {bead}" if place in new else bead or "–"
        for place, bead in zip(one.places, one.beads, strict=True)
    )
    return f"{one.name.upper()} {' '.join(beads)}"


def _letters_to_come(plan: Plan, step: PlannedCross) -> set[str]:
    """The beads of the row that are still to be brought in."""
    crosses = range(step.cross, plan.row_end(step.cross) + 1)
    return {move.bead for cross in crosses for move in plan.step(cross).carried if move.bead}
