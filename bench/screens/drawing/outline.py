"""The outline of the braid as it hangs: to scale, in colour, the first row on top."""

from __future__ import annotations

from bisect import bisect_left

from bench.craft.growth import Growth
from bench.craft.pattern import Pattern
from bench.screens.drawing.worked_out import WorkedOut
from bench.screens.kit.braid_painter import paint, seen
from bench.screens.kit.canvas import Canvas

COARSEST_MM = 2.6
"""A dot stands for so many mm at the most; of what is longer a part is shown."""
FRONT_DEG = 0.0


class Outline:
    """Draws the outline, and keeps it as long as nothing of it has changed."""

    def __init__(self) -> None:
        self._known: tuple[tuple[object, ...], Canvas] | None = None

    def draw(
        self, canvas: Canvas, x: int, y: int, width: int, height: int,
        worked: WorkedOut | None, pattern: Pattern, cross: int | None,
    ) -> None:  # fmt: skip
        """Draw it into so many cells; `cross` is that of a bead that is marked at the edge.

        Nothing where the columns of the structure are not known, or no bead is laid.
        """
        if worked is None or worked.growth is None or worked.growth.lattice is None:
            return
        growth = worked.growth
        spots = worked.growth.lattice.spots
        at = min(bisect_left(spots, cross or 0, key=lambda spot: spot.cross), len(spots) - 1)
        begin, dot_mm = _part(growth, spots[at].height_mm, width - 1, height)
        colours = tuple(bead.colour for bead in pattern.beads.values())
        key = (id(worked), begin, dot_mm, width, height, colours)
        if self._known is None or self._known[0] != key:
            self._known = key, _painted(worked, pattern, width - 1, height, begin, dot_mm)
        for line, row in enumerate(self._known[1].rows):
            for column, (ch, style) in enumerate(row):
                if ch != " ":
                    canvas.text(x + column, y + line, ch, style)
        mark = int((spots[at].height_mm - begin) / dot_mm / 2)
        if cross is not None and 0 <= mark < height:
            canvas.text(x + width - 1, y + mark, "◀", "call")


def _part(growth: Growth, at_mm: float, width: int, height: int) -> tuple[float, float]:
    """Where the part begins that is shown, in mm, and how many mm a dot is."""
    assert growth.lattice is not None
    foot = min(s.height_mm - s.diameter_mm / 2 for s in growth.lattice.spots[:24])
    long = growth.lattice.beaded_mm
    dot_mm = max(long / (2 * height), growth.diameter_mm / width)
    if dot_mm <= COARSEST_MM:
        return foot, dot_mm
    dot_mm = max(1.0, growth.diameter_mm / width)
    step = height * dot_mm  # half of what is in sight, so that it moves seldom
    begin = foot + max(0.0, round((at_mm - foot) / step) - 1) * step
    return begin, dot_mm


def _painted(
    worked: WorkedOut, pattern: Pattern, width: int, height: int, begin: float, dot_mm: float
) -> Canvas:
    assert worked.growth is not None
    assert worked.growth.lattice is not None
    spots = worked.growth.lattice.spots
    first = bisect_left(spots, begin, key=lambda spot: spot.height_mm)
    last = bisect_left(spots, begin + 2 * height * dot_mm, key=lambda spot: spot.height_mm)
    colours = {letter: bead.colour for letter, bead in pattern.beads.items()}
    for spot in spots[first:last]:
        colours.setdefault(spot.bead, "#808080")
    canvas = Canvas(width, height)
    beads = seen(spots[first:last], colours, FRONT_DEG)
    paint(canvas, 0, 0, width, height, beads, dot_mm, new_on_top=False)
    return canvas


def core_words(pattern: Pattern) -> str:
    """The core in words, or that there is none."""
    core = pattern.core
    if core is None:
        return "no core"
    if core.on == "cord":
        return "core: a cord"
    if not core.beads:
        return "core: a wire without beads"
    return f"core {core.beads}, down after cross {core.down_after_cross}"
