"""The beads of the cross to make now in large letters, each where its strand lies."""

from __future__ import annotations

from dataclasses import dataclass

from bench.craft.plan import Move, Plan, PlannedCross
from bench.craft.words import in_words
from bench.screens.bench.coming_up import changed
from bench.screens.bench.whole_row import draw_row_words
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas, wrap
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View

LEGEND = 11
"""Columns of the words beside a letter and its field: BOTH SIDES."""
FIELD = 5
"""Columns of a field in a bead's colour, where there is room."""
LEAST = 6
"""Columns that a letter takes at least, the gap behind it included."""


@dataclass(frozen=True, slots=True)
class _Bead:
    """What is brought in under one name; '' for no bead."""

    name: str
    letter: str
    new: bool


def draw_beads(
    canvas: Canvas,
    x: int,
    y: int,
    height: int,
    plan: Plan,
    step: PlannedCross,
    scale: int,
    room: int,
    view: View,
) -> None:
    """Draw the bead to bring in: one big letter when all sides are alike, else one a side.

    What lies left is drawn left; of what lies above one another the top comes first.
    """
    if step.row is None:
        _draw_plain(canvas, x, y, height, plan, step, scale, room)
        return
    if view.per_row:
        draw_row_words(canvas, x, y, height, plan, step, room)
        return
    beads = _beads(plan, step)
    if len({bead.letter for bead in beads}) == 1:
        _draw_alike(canvas, x, y, height, plan, step, beads[0], scale, room, view)
        return
    if room // len(beads) < LEAST:
        beads = _merged(beads)
    wide = min(12 * scale, room // len(beads))
    scale = scale if wide >= LEAST * scale else 1
    for number, bead in enumerate(beads):
        _draw_one(canvas, x + number * wide, y, plan, bead, scale, wide - 1, view)


def _beads(plan: Plan, step: PlannedCross) -> list[_Bead]:
    """The beads of a cross as they lie: by side, or by place where those of a side differ."""
    new = {
        plan.structure.places[move.transfer.start - 1]: changed(plan, move, step.cross)
        for move in step.carried
    }
    beads: list[_Bead] = []
    for one in words.sides(plan, step):
        if len(set(one.beads)) == 1:
            beads.append(_Bead(one.name, one.beads[0], any(new[place] for place in one.places)))
            continue
        each = zip(one.places, one.beads, strict=True)
        beads += [_Bead(place, bead, new[place]) for place, bead in each]
    return beads


def _merged(beads: list[_Bead]) -> list[_Bead]:
    """Where there is no room for all: those that are alike under one letter."""
    by_letter: dict[str, list[_Bead]] = {}
    for bead in beads:
        by_letter.setdefault(bead.letter, []).append(bead)
    return [
        _Bead(" ".join(bead.name for bead in alike), letter, any(bead.new for bead in alike))
        for letter, alike in by_letter.items()
    ]


def _draw_plain(
    canvas: Canvas,
    x: int,
    y: int,
    height: int,
    plan: Plan,
    step: PlannedCross,
    scale: int,
    room: int,
) -> None:
    big(canvas, x, y, "PLAIN", "bead", scale if width_of("PLAIN", scale) <= room else 1)
    text, style = "no beads in this cross", ""
    if step.cross > plan.last_bead_cross > 0:
        text, style = f"pull tight by hand, {plan.crosses - step.cross + 1} left", "bold"
    canvas.text(x, y + height - 1, text, style, room)


def _draw_alike(
    canvas: Canvas,
    x: int,
    y: int,
    height: int,
    plan: Plan,
    step: PlannedCross,
    bead: _Bead,
    scale: int,
    room: int,
    view: View,
) -> None:
    """Draw one letter for all sides, framed where it is another bead than before."""
    letter, carried = bead.letter, step.carried
    new = any(changed(plan, move, step.cross) for move in carried)
    framed = new and height > HEIGHT * scale + 1
    sign = view.signs.get(letter, letter) or "-"
    end = big(canvas, x + (2 if framed else 0), y + (1 if framed else 0), sign, "bead", scale)
    if framed:
        canvas.frame(x, y, end - x + 2, HEIGHT * scale + 2, "bead", double=False)
    name = words.bead_words(plan, letter) if letter else "these strands hang empty"
    canvas.text(x, y + height - 1, name, "bold", room)
    beside = x + width_of(sign, scale) + 4
    field = min(FIELD * scale, x + room - beside - LEGEND)
    if letter and view.colours and field > 3:
        _draw_field(canvas, beside, y, field, HEIGHT * scale, plan, letter)
        beside += field + 1
    _draw_legend(canvas, beside, y, plan, bead, carried, x + room)


def _draw_legend(
    canvas: Canvas, x: int, y: int, plan: Plan, bead: _Bead, carried: tuple[Move, ...], end: int
) -> None:
    """Write which sides the bead is for, and a patch in its colour."""
    both = "both sides" if len(carried) == 2 else f"all {in_words(len(carried))}"
    canvas.text(x, y + 1, both.upper(), "bold", end - x)
    if bead.letter:
        found = plan.pattern.beads[bead.letter]
        patch = 4 if end - x > LEGEND + 3 else 0
        canvas.text(x, y + 2, "███"[:patch], found.colour)
        canvas.text(x + patch, y + 2, f"{bead.letter}  {found.size}", "bold", end - x - patch)
    if bead.new:
        canvas.text(x, y + 3, " CHANGED ", "picked", end - x)


def _draw_field(
    canvas: Canvas, x: int, y: int, width: int, height: int, plan: Plan, letter: str
) -> None:
    """Fill a field with a bead's colour."""
    for line in range(height):
        canvas.text(x, y + line, "█" * width, plan.pattern.beads[letter].colour)


def _draw_one(
    canvas: Canvas, x: int, y: int, plan: Plan, bead: _Bead, scale: int, room: int, view: View
) -> None:
    """Draw one of several letters, its colour beside it, its sides and its size under it."""
    sign = view.signs.get(bead.letter, bead.letter) or "-"
    end = big(canvas, x, y, sign, "bead", scale) + 1
    field = min(FIELD * scale, x + room - end)
    if bead.letter and view.colours and field > 0:
        _draw_field(canvas, end, y, field, HEIGHT * scale, plan, bead.letter)
    size = plan.pattern.beads[bead.letter].size if bead.letter else "NO BEAD"
    size += " new" if bead.new else ""
    lines = [*wrap(bead.name.upper(), room), size]
    for line, text in enumerate(lines[: canvas.height - y - HEIGHT * scale]):
        canvas.text(x, y + HEIGHT * scale + line, text, "bold", room)
