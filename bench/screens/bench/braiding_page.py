"""The bench while the hands are moving: the cross to make now, to be read from a metre away."""

from __future__ import annotations

from bench.craft.growth import Growth
from bench.craft.plan import Plan, PlannedCross
from bench.making.braid import Braid
from bench.screens.bench.beads_to_bring_in import draw_beads
from bench.screens.bench.braid_picture import draw_braid, paint_braid
from bench.screens.bench.braid_rings import spots_of
from bench.screens.bench.braiding_lines import LINES, Offers, draw_below, draw_lines
from bench.screens.bench.whole_row import draw_row_letters
from bench.screens.kit import words
from bench.screens.kit.action_keys import draw_keys
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.header import draw_banner, draw_header
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.rim import draw_rim
from bench.screens.kit.view import View

NO_OFFERS: Offers = {}
BRAID, MOST_OF_BRAID = 16, 40
"""Columns of the painted braid: on a small screen, and at most on a large one."""


def draw_bench(
    braid: Braid,
    view: View,
    made: int | None = None,
    offers: Offers = NO_OFFERS,
    growth: Growth | None = None,
) -> Canvas:
    """Draw the bench for the cross to make now, or for when so many are made."""
    plan = braid.plan
    step = plan.step((braid.made if made is None else made) + 1)
    canvas = Canvas(view.width, view.height)
    canvas.zone(0, 0, view.width, view.height, "next")
    scale = 2 if view.width >= 116 and view.height >= 38 else 1
    narrow = view.width < 76
    short = view.height < 23
    tall = HEIGHT * scale
    draw_header(canvas, braid.state, view)
    y = 1
    if not short:
        canvas.rule(y)
        y += 1
    beside = not narrow and scale == 1
    room = view.width - (22 if beside else 2)
    canvas.rule(y + tall)
    whole = view.per_row and step.row is not None
    whole = whole and draw_row_letters(canvas, 1, y, plan, step, scale, room, view)
    if not whole:
        rest = draw_call(canvas, 1, y, step, scale, room)
        canvas.text(1, y + tall, rest, "call")
    if beside:
        draw_row(canvas, view.width - 20, y, plan, step)
    y += tall
    if narrow and not whole:
        canvas.right(y, f" {', '.join(words.row_words(plan, step.cross))} ", "bold", view.width)
    y += 1
    foot = draw_keys(canvas, view) - (4 if short else 6)
    middle = max(HEIGHT, foot - y)
    draw_middle(canvas, y, middle, braid, view, step, scale, narrow)
    y += middle
    if not short:
        canvas.rule(y)
        y += 1
    draw_lines(canvas, y, braid, view, step, offers, growth)
    y += LINES
    if not short and not draw_below(canvas, y, braid, view, step, offers):
        canvas.rule(y)
    draw_banner(canvas, view)
    return canvas


def draw_call(canvas: Canvas, x: int, y: int, step: PlannedCross, scale: int, room: int) -> str:
    """Draw the call in big letters; return what found no room and is to be said in words."""
    halves = step.call.split(" and ")
    for text, rest in (("+".join(halves), ""), (halves[0], " and ".join(halves[1:]))):
        for size in (scale, 1):
            if width_of(text, size) <= room:
                big(canvas, x, y + (HEIGHT * (scale - size)) // 2, text, "call", size)
                return f" and {rest} ".upper() if rest else ""
    canvas.text(x, y + HEIGHT // 2, step.call.upper(), "call", room)
    return ""


def draw_row(canvas: Canvas, x: int, y: int, plan: Plan, step: PlannedCross) -> None:
    """Draw the row, a box for each of its crosses, and which cross it is."""
    place = words.row_place(plan, step.cross)
    canvas.text(x, y, "BEAD ROW" if place.part == "row" else place.part.upper(), "bold")
    canvas.text(x, y + 1, place.number, "bold")
    draw_boxes(canvas, x, y + 3, plan, step.cross)
    canvas.text(x, y + 4, place.turn, "bold")


def draw_boxes(canvas: Canvas, x: int, y: int, plan: Plan, cross: int) -> None:
    """Draw a box for each cross of the row; made ones are full, the present one is marked."""
    count, made = words.boxes(plan, cross)
    if count > 8:
        return
    for box in range(count):
        mark = "█" if box < made else ("▶" if box == made else " ")
        canvas.text(x + 4 * box, y, f"[{mark}]", "bold" if box == made else "")


def draw_middle(
    canvas: Canvas,
    y: int,
    height: int,
    braid: Braid,
    view: View,
    step: PlannedCross,
    scale: int,
    narrow: bool,
) -> None:
    """Draw the stand from above, the bead to bring in, and the braid just made."""
    plan = braid.plan
    many = len(words.sides(plan, step)) > 2
    rim_width = 24 if narrow else 26 if many else 28
    beside, wide = BRAID + 4, BRAID
    if scale == 2:
        rim_width, wide = 44, min(MOST_OF_BRAID, BRAID + 8 + (canvas.width - 116) // 2)
        beside = wide + 4
    rim_height = min(height, 7 if scale == 1 else 15)
    draw_rim(
        canvas, 2, y + (height - rim_height) // 2, rim_width, rim_height, plan, step, back=False
    )
    x = rim_width + 6
    room = canvas.width - x - (2 if narrow else beside)
    draw_beads(canvas, x, y, height, plan, step, scale, room, view)
    if narrow:
        return
    taken = 0
    if scale == 2:
        draw_row(canvas, canvas.width - beside, y, plan, step)
        taken = HEIGHT + 1
    across, down, tall = canvas.width - wide - 1, y + taken, height - taken
    made, spots = step.cross - 1, spots_of(braid.state)
    wide = min(wide, 2 * tall)
    if not (view.colours and paint_braid(canvas, across, down, wide, tall, plan, made, spots)):
        draw_braid(canvas, across, down, tall, plan, made, spots)
