"""The stand from above: every place round the rim, the carried strands and their way."""

from __future__ import annotations

import math
from functools import lru_cache

from bench.craft.plan import Plan, PlannedCross
from bench.screens.kit.canvas import Canvas


def draw_rim(
    canvas: Canvas,
    x: int,
    y: int,
    width: int,
    height: int,
    plan: Plan,
    step: PlannedCross,
    *,
    back: bool,
) -> None:
    """Draw the stand in a box: at each place the next bead of its strand, carried ones marked.

    With back, the transfers are drawn the way in which they are taken back.
    """
    made = step.cross if back else step.cross - 1
    angles = plan.structure.place_angles
    moves = [m.transfer.reversed() if back else m.transfer for m in step.carried]
    for transfer in moves:
        start, end = angles[transfer.start - 1], angles[transfer.end - 1]
        for px, py, dot in _way(width, height, start, end, transfer.way):
            canvas.text(x + px, y + py, dot, "call")
    starts = {t.start for t in moves}
    arrangement = plan.arrangement(made)
    for place, angle in enumerate(angles, 1):
        px, py = _point(angle, 1.0, width, height)
        strand = arrangement[place - 1]
        rest = plan.remaining(strand, made)
        letter = rest[0] if rest and rest[0] != "-" else ("o" if not plan.last_bead_cross else "·")
        if back and place in starts:
            move = next(m for m in step.carried if m.strand == strand)
            letter = move.bead or "·"
        if place in starts:
            canvas.text(x + px - 1, y + py, f"({letter})", "carry")
        else:
            canvas.text(x + px, y + py, letter)


def draw_spot(
    canvas: Canvas, x: int, y: int, width: int, height: int, plan: Plan, place: int, *, others: bool
) -> None:
    """Draw the stand in a box with one place marked, or with others every place but that one."""
    for number, angle in enumerate(plan.structure.place_angles, 1):
        px, py = _point(angle, 1.0, width, height)
        if (number == place) is not others:
            canvas.text(x + px - 1, y + py, "(?)", "carry")
        else:
            canvas.text(x + px, y + py, "●" if others else "·")
    canvas.centre(y + height // 2, "from above", "", x, width)


@lru_cache(maxsize=256)
def _way(
    width: int, height: int, start: float, end: float, way: str
) -> tuple[tuple[int, int, str], ...]:
    """The dots of a carried strand's way inside the rim, and the arrow where it lands.

    A dot off the row of the place that it begins or ends at would look like a stray one.
    """
    sign = 1 if way == "clockwise" else -1
    reach = (sign * (end - start)) % 360
    points: list[tuple[int, int]] = []
    for part in range(121):
        share = part / 120
        depth = 1.0 - 0.42 * math.sin(math.pi * share) ** 0.5
        point = _point(start + sign * reach * share, depth, width, height)
        if not points or points[-1] != point:
            points.append(point)
    ends = (_point(start, 1.0, width, height), _point(end, 1.0, width, height))
    line = [p for p in points if all(abs(p[0] - x) > 2 or p[1] != y for x, y in ends)]
    if len(line) > 2 and line[0][1] != ends[0][1] == line[1][1]:
        del line[0]
    if len(line) > 2 and line[-1][1] != ends[1][1] == line[-2][1]:
        del line[-1]
    heads = ["•"] * (len(line) - 1) + [_head(sign, end)]
    return tuple((px, py, dot) for (px, py), dot in zip(line, heads, strict=False))


def _head(sign: int, end: float) -> str:
    """The arrow that points along the rim where a strand lands."""
    across, down = sign * math.cos(math.radians(end)), sign * math.sin(math.radians(end))
    if abs(across) > abs(down):
        return "▶" if across > 0 else "◀"
    return "▼" if down > 0 else "▲"


def _point(angle: float, depth: float, width: int, height: int) -> tuple[int, int]:
    rx, ry = (width - 4) / 2, (height - 1) / 2
    turned = math.radians(angle)
    return (
        round((width - 1) / 2 + depth * rx * math.sin(turned)),
        round((height - 1) / 2 - depth * ry * math.cos(turned)),
    )
