"""The beads still to be sewn in: their list, and the numbers that strike them off it."""

from __future__ import annotations

from bench.craft.cautions import NEEDLE_IN_BRAID
from bench.documents.key_names import DIGITS
from bench.making.braid import Braid
from bench.screens.bench.mode import Bench
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.deeds import Deed
from bench.screens.kit.page import caution, paragraph

SEW_IN = Deed("1 to 9", "a bead that was to be sewn in is in: strikes it off")


def strike_sew_in(bench: Bench, key: str) -> None:
    """Strike a bead that was sewn in off the list, if the key is its number there."""
    state = bench.braid.state
    if state.open and key in DIGITS and 1 <= int(key) <= len(state.sew_ins):
        sewn = state.sew_ins[int(key) - 1]
        bench.braid.sewn_in(sewn.strand, sewn.cross)
        bench.said = f"sewn in: one {sewn.bead}, at cross {sewn.cross}"


def draw_sew_ins(canvas: Canvas, y: int, braid: Braid, x: int = 1) -> int:
    """Draw the beads still to be sewn in, with the numbers that strike them off."""
    state, plan = braid.state, braid.plan
    for number, sew_in in enumerate(state.sew_ins[:9], 1):
        where = words.where_in_braid(plan, sew_in.strand, sew_in.cross, state.made)
        text = f"SEW IN  one {sew_in.bead} in {where}; key {number} once it is done"
        below = paragraph(canvas, y, text, "warn", None, x)
        canvas.zone(x, y, canvas.width - x, below - y, str(number))
        y = below
    return caution(canvas, y, NEEDLE_IN_BRAID, None, x) if state.sew_ins else y
