"""The beads of the cross to make now in large letters, each where its strand lies."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bench.craft.plan import Plan, PlannedCross
from bench.craft.words import in_words
from bench.screens.bench.whole_row import draw_row_words, new_at
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


@dataclass(frozen=True, slots=True)
class _Box:
    """Where the beads of a cross are drawn: from `x`, `y` on, `room` wide and `height` high."""

    canvas: Canvas
    x: int
    y: int
    height: int
    plan: Plan
    step: PlannedCross
    scale: int
    room: int
    view: View

    @property
    def large(self) -> int:
        """Lines of a large letter."""
        return HEIGHT * self.scale

    @property
    def end(self) -> int:
        """The first column after it."""
        return self.x + self.room


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
    box = _Box(canvas, x, y, height, plan, step, scale, room, view)
    if step.row is None:
        _draw_plain(box)
        return
    if view.per_row:
        draw_row_words(canvas, x, y, height, plan, step, room)
        return
    beads = _beads(plan, step)
    if len({bead.letter for bead in beads}) == 1:
        _draw_alike(box, beads[0])
        return
    if room // len(beads) < LEAST:
        beads = _merged(beads)
    wide = min(12 * scale, room // len(beads))
    scale = scale if wide >= LEAST * scale else 1
    for number, bead in enumerate(beads):
        _draw_one(replace(box, x=x + number * wide, scale=scale, room=wide - 1), bead)


def _beads(plan: Plan, step: PlannedCross) -> list[_Bead]:
    """The beads of a cross as they lie: by side, or by place where those of a side differ."""
    new = new_at(plan, step)
    beads: list[_Bead] = []
    for one in words.sides(plan, step):
        if len(set(one.beads)) == 1:
            beads.append(_Bead(one.name, one.beads[0], any(place in new for place in one.places)))
            continue
        each = zip(one.places, one.beads, strict=True)
        beads += [_Bead(place, bead, place in new) for place, bead in each]
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


def _draw_plain(box: _Box) -> None:
    scale = box.scale if width_of("PLAIN", box.scale) <= box.room else 1
    big(box.canvas, box.x, box.y, "PLAIN", "bead", scale)
    plan, cross = box.plan, box.step.cross
    text, style = "no beads in this cross", ""
    if cross > plan.last_bead_cross > 0:
        text, style = f"pull tight by hand, {plan.crosses - cross + 1} left", "bold"
    box.canvas.text(box.x, box.y + box.height - 1, text, style, box.room)


def _draw_alike(box: _Box, bead: _Bead) -> None:
    """Draw one letter for all sides, framed where it is another bead than before."""
    canvas, letter, x, y = box.canvas, bead.letter, box.x, box.y
    framed = bool(new_at(box.plan, box.step)) and box.height > box.large + 1
    sign = box.view.signs.get(letter, letter) or "-"
    end = big(canvas, x + (2 if framed else 0), y + (1 if framed else 0), sign, "bead", box.scale)
    if framed:
        canvas.frame(x, y, end - x + 2, box.large + 2, "bead", double=False)
    name = words.bead_words(box.plan, letter) if letter else "these strands hang empty"
    canvas.text(x, y + box.height - 1, name, "bold", box.room)
    beside = x + width_of(sign, box.scale) + 4
    field = min(FIELD * box.scale, box.end - beside - LEGEND)
    if letter and box.view.colours and field > 3:
        _draw_field(box, beside, field, letter)
        beside += field + 1
    _draw_legend(box, beside, bead)


def _draw_legend(box: _Box, x: int, bead: _Bead) -> None:
    """Write which sides the bead is for, and a patch in its colour."""
    canvas, y, room, many = box.canvas, box.y, box.end - x, len(box.step.carried)
    both = "both sides" if many == 2 else f"all {in_words(many)}"
    canvas.text(x, y + 1, both.upper(), "bold", room)
    if bead.letter:
        found = box.plan.pattern.beads[bead.letter]
        patch = 4 if room > LEGEND + 3 else 0
        canvas.text(x, y + 2, "███"[:patch], found.colour)
        canvas.text(x + patch, y + 2, f"{bead.letter}  {found.size}", "bold", room - patch)
    if bead.new:
        canvas.text(x, y + 3, " CHANGED ", "picked", room)


def _draw_field(box: _Box, x: int, width: int, letter: str) -> None:
    """Fill a field with a bead's colour."""
    for line in range(box.large):
        box.canvas.text(x, box.y + line, "█" * width, box.plan.pattern.beads[letter].colour)


def _draw_one(box: _Box, bead: _Bead) -> None:
    """Draw one of several letters, its colour beside it, its sides and its size under it."""
    canvas, x, y = box.canvas, box.x, box.y
    sign = box.view.signs.get(bead.letter, bead.letter) or "-"
    end = big(canvas, x, y, sign, "bead", box.scale) + 1
    field = min(FIELD * box.scale, box.end - end)
    if bead.letter and box.view.colours and field > 0:
        _draw_field(box, end, field, bead.letter)
    size = box.plan.pattern.beads[bead.letter].size if bead.letter else "NO BEAD"
    size += " new" if bead.new else ""
    lines = [*wrap(bead.name.upper(), box.room), size]
    for line, text in enumerate(lines[: canvas.height - y - box.large]):
        canvas.text(x, y + box.large + line, text, "bold", box.room)
