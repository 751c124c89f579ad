"""The braid just made as a picture: rings of bead letters, its columns side by side."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache

from bench.craft.growth import grow, sizes_of
from bench.craft.lattice import Lattice
from bench.craft.plan import Plan
from bench.craft.text import Fault
from bench.making.braid import Braid
from bench.screens.bench.braid_rings import SIGNS, Spots, recent_rings, spots_of
from bench.screens.kit.braid_painter import paint, seen
from bench.screens.kit.canvas import Canvas

BOTTOM = 180.0
"""Where the maker sits at the stand, in degrees clockwise from the top."""


def draw_braid(
    canvas: Canvas, x: int, y: int, height: int, plan: Plan, made: int, spots: Spots
) -> None:
    """Draw the braid just made, new on top, its columns side by side, spots as they look."""
    rings = recent_rings(plan, made, height - 1, spots)
    if not rings:
        return
    canvas.text(x, y, "new on top")
    draw_rings(canvas, x, y + 1, plan, rings)


def paint_braid(
    canvas: Canvas, x: int, y: int, width: int, height: int, plan: Plan, made: int, spots: Spots
) -> bool:
    """Paint the braid just made as who sits at the stand sees it; return whether that can be done.

    Not where its columns are not known, nor where it is not as planned: signs tell that.
    """
    if spots or plan.structure.turn is None:
        return False
    grown = _grown(plan)
    if grown is None or made <= plan.plain_start:
        return False
    spread = grown.spots
    made_so_far = bisect_right(spread, made, key=lambda spot: spot.cross)
    widest = grown.diameter_mm
    dot_mm = widest / width
    reach_mm = 2 * height * dot_mm + widest
    newest = spread[made_so_far - 1].height_mm
    first = made_so_far
    while first and spread[first - 1].height_mm > newest - reach_mm:
        first -= 1
    zero = plan.structure.place_angles[plan.structure.round[0].carried[0][0] - 1]
    front = BOTTOM - zero - plan.structure.turn * (made - 1)
    colours = {letter: bead.colour for letter, bead in plan.pattern.beads.items()}
    canvas.text(x, y, "new on top")
    beads = seen(spread[first:made_so_far], colours, front)
    paint(canvas, x, y + 1, width, height - 1, beads, dot_mm, new_on_top=True)
    return True


@lru_cache(maxsize=4)
def _grown(plan: Plan) -> Lattice | None:
    """Where all beads of a plan come to lie; None where that is not known."""
    try:
        return grow(plan, sizes_of(plan.pattern)).lattice
    except Fault:
        return None


def draw_rings(canvas: Canvas, x: int, y: int, plan: Plan, rings: Sequence[Sequence[str]]) -> None:
    """Draw rings of letters, one a line, beads beside their colour."""
    for line, ring in enumerate(rings):
        for column, letter in enumerate(ring):
            style = "warn" if letter in SIGNS else ""
            canvas.text(x + 2 * column + 1, y + line, letter, style)
            if letter in plan.pattern.beads:
                colour = plan.pattern.beads[letter].colour
                canvas.text(x + 2 * column + 2, y + line, "▌", colour)


def draw_whole_braid(canvas: Canvas, x: int, y: int, height: int, braid: Braid) -> None:
    """Draw the whole braid as it is, in as many blocks side by side as there is room for.

    Nothing where its columns are not known.
    """
    columns = braid.structure.columns
    wide = 2 * (columns or 0) + 3
    blocks = (canvas.width - x) // wide if columns else 0
    spots = spots_of(braid.state)
    signs = [s for s in SIGNS if s in spots.values()]
    tall = height - 1 - (len(signs) + 1 if signs else 0)
    rings = recent_rings(braid.plan, braid.made, max(0, blocks) * tall, spots)
    if not rings:
        return
    canvas.text(x, y, "the braid, new on top", "", canvas.width - x)
    for block in range(blocks):
        part = rings[block * tall : (block + 1) * tall]
        draw_rings(canvas, x + block * wide, y + 1, braid.plan, part)
    for number, sign in enumerate(signs):
        canvas.text(x + 1, y + height - len(signs) + number, sign, "warn")
        canvas.text(x + 3, y + height - len(signs) + number, SIGNS[sign])
