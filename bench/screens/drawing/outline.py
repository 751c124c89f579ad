"""The outline of the braid as it hangs: to scale, in colour, its core beside it, row 1 on top."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass, replace

from bench.craft.lattice import PlacedBead
from bench.craft.pattern import Pattern
from bench.screens.drawing.worked_out import WorkedOut
from bench.screens.kit.braid_painter import SeenBead, paint, seen
from bench.screens.kit.canvas import Canvas

COARSEST_MM = 3.2
"""A dot stands for so many mm at the most; of what is longer a part is shown."""
FINEST_MM = 1.0
"""A part is shown no larger than this."""
UNKNOWN = "#808080"


@dataclass(frozen=True)
class Part:
    """What is shown of a braid: where it begins, mm a dot, and whether that is all of it."""

    begin_mm: float
    dot_mm: float
    is_whole: bool


class Outline:
    """Draws the outline, and keeps it as long as nothing of it has changed."""

    def __init__(self) -> None:
        self._known: tuple[tuple[object, ...], Canvas] | None = None

    def draw(
        self, canvas: Canvas, x: int, y: int, width: int, height: int,
        worked: WorkedOut | None, pattern: Pattern, cross: int | None, *, colours: bool,
        front_deg: float = 0.0,
    ) -> None:  # fmt: skip
        """Draw it into so many cells; `cross` is that of a bead that is marked at the edge.

        Nothing where the columns of the structure are not known, or no bead is laid. Without
        `colours` each bead is its letter. `front_deg`: the direction that faces the eye.
        """
        if worked is None or worked.growth is None or worked.growth.lattice is None:
            return
        spots = worked.growth.lattice.spots
        at = min(bisect_left(spots, cross or 0, key=lambda spot: spot.cross), len(spots) - 1)
        part = _part(worked, spots[at].height_mm, width - 1, height)
        dyes = {letter: bead.colour for letter, bead in pattern.beads.items()}
        key = (id(worked), part, width, height, tuple(dyes.items()), colours, front_deg)
        if self._known is None or self._known[0] != key:
            painted = Canvas(width - 1, height)
            beads = _beads(worked, part, height, dyes, front_deg)
            box = 0, 0, width - 1, height
            paint(painted, *box, beads, part.dot_mm, new_on_top=False, colours=colours)
            self._known = key, painted
        for line, row in enumerate(self._known[1].rows):
            for column, (ch, style) in enumerate(row):
                if ch != " ":
                    canvas.text(x + column, y + line, ch, style)
        mark = int((spots[at].height_mm - part.begin_mm) / part.dot_mm / 2)
        if cross is not None and 0 <= mark < height:
            canvas.text(x + width - 1, y + mark, "◀", "call")


def _part(worked: WorkedOut, at_mm: float, width: int, height: int) -> Part:
    """What is shown: all of it, or the part round a height."""
    assert worked.growth is not None
    assert worked.growth.lattice is not None
    foot = min(s.height_mm - s.diameter_mm / 2 for s in worked.growth.lattice.spots[:24])
    hanging = worked.hanging
    if hanging is not None and hanging.is_whole:
        dot_mm = max(hanging.long_mm / (2 * height), hanging.wide_mm / width)
        if dot_mm <= COARSEST_MM:
            return Part(foot, dot_mm, is_whole=True)
    dot_mm = max(FINEST_MM, worked.growth.diameter_mm / width)
    step = height * dot_mm  # half of what is in sight, so that it moves seldom
    begin = foot + max(0.0, round((at_mm - foot) / step) - 1) * step
    return Part(begin, dot_mm, is_whole=False)


def _beads(
    worked: WorkedOut, part: Part, height: int, dyes: dict[str, str], front_deg: float
) -> list[SeenBead]:
    """The beads in sight, in the colours that are shown, and the core if all is shown."""
    assert worked.growth is not None
    assert worked.growth.lattice is not None
    spots = worked.growth.lattice.spots
    known = defaultdict(lambda: UNKNOWN, dyes)
    if part.is_whole and worked.hanging is not None:
        # The braid stands to the left of the middle where its core hangs beside it.
        hung = worked.hanging.beads
        off_mm = hung[0].across_mm - seen(spots, known, 0.0)[0].across_mm
        braid = [replace(b, across_mm=b.across_mm + off_mm) for b in seen(spots, known, front_deg)]
        return [*braid, *(replace(b, colour=known[b.letter]) for b in hung[len(spots) :])]
    first = bisect_left(spots, part.begin_mm, key=_height)
    last = bisect_left(spots, part.begin_mm + 2 * height * part.dot_mm, key=_height)
    return seen(spots[first:last], known, front_deg)


def _height(spot: PlacedBead) -> float:
    return spot.height_mm


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
