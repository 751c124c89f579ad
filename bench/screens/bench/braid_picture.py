"""The braid just made as a picture: rings of bead letters, its columns side by side."""

from __future__ import annotations

from collections.abc import Sequence

from bench.craft.plan import Plan
from bench.making.braid import Braid
from bench.screens.bench.braid_rings import SIGNS, Spots, recent_rings, spots_of
from bench.screens.kit.canvas import Canvas


def draw_braid(
    canvas: Canvas, x: int, y: int, height: int, plan: Plan, made: int, spots: Spots
) -> None:
    """Draw the braid just made, new on top, its columns side by side, spots as they look."""
    rings = recent_rings(plan, made, height - 1, spots)
    if not rings:
        return
    canvas.text(x, y, "new on top")
    draw_rings(canvas, x, y + 1, plan, rings)


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
