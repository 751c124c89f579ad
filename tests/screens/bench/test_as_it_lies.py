from __future__ import annotations

import math
from itertools import combinations
from pathlib import Path

import pytest

from bench.craft.pattern import Pattern
from bench.craft.plan import Plan, PlannedCross
from bench.craft.structure import Structure
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.screens.bench.beads_to_bring_in import draw_beads
from bench.screens.kit import words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.keys import Keys
from bench.screens.kit.large_letters import HEIGHT, big, width_of
from bench.screens.kit.view import View

SHIPPED = sorted(path.stem for path in Path("patterns/structures").glob("*.toml"))
LETTERS = "abcdefghijklnopq"
ROOM = {"at 80 by 24": (28, 7, 1), "at 120 by 40": (60, 16, 2)}


def unlike(structure: Structure) -> Plan:
    """A plan in which no two strands hold the same bead."""
    letters = LETTERS[: structure.strands]
    pattern = Pattern.model_validate(
        {
            "format": 1,
            "title": "Unlike",
            "structure": "any",
            "plain_start": 0,
            "plain_end": 0,
            "threads": {"name": "fine", "diameter_mm": 0.13},
            "beads": {
                letter: {"name": letter, "size": "8/0", "colour": "#808080"} for letter in letters
            },
            "loads": {str(number): f"4{letter}" for number, letter in enumerate(letters, 1)},
        }
    )
    return Plan(pattern, structure)


def found(canvas: Canvas, letter: str, scale: int) -> list[tuple[int, int]]:
    """Where a large letter stands on a canvas, blank columns left and right of it."""
    wide = width_of(letter, scale)
    glyph = Canvas(wide + 2, HEIGHT * scale)
    big(glyph, 1, 0, letter, "bead", scale)
    looked_for = [list(row) for row in glyph.rows]
    return [
        (x + 1, y)
        for y in range(canvas.height - HEIGHT * scale + 1)
        for x in range(canvas.width - wide - 1)
        if [list(row[x : x + wide + 2]) for row in canvas.rows[y : y + len(glyph.rows)]]
        == looked_for
    ]


def on_the_rim(structure: Structure, place: int) -> tuple[float, float]:
    """How far right and how far down a place lies, seen from above."""
    turned = math.radians(structure.place_angles[place - 1])
    return math.sin(turned), -math.cos(turned)


def check(plan: Plan, step: PlannedCross, size: str, *, colours: bool) -> None:
    """Compare where the letters of a cross stand with where its strands lie."""
    room, height, scale = ROOM[size]
    canvas = Canvas(room + 2, height)
    view = View(80, 24, Keys(Settings()), colours=colours)
    draw_beads(canvas, 1, 0, height, plan, step, scale, room, view)
    stands = {}
    for move in step.carried:
        assert move.bead is not None
        # four letters at once are drawn smaller
        spots = found(canvas, move.bead, scale) or found(canvas, move.bead, 1)
        assert len(spots) == 1, (step.call, move.bead, canvas.as_text())
        stands[move.transfer.start] = spots[0]
        side = plan.structure.places[move.transfer.start - 1].split(",")[0].upper()
        under = "\n".join(
            "".join(ch for ch, _ in row[spots[0][0] :])
            for row in canvas.rows[spots[0][1] + HEIGHT :]
        )
        assert any(line.startswith(side) for line in under.split("\n")), (side, canvas.as_text())
    for one, other in combinations(stands, 2):
        (ax, ay), (bx, by) = on_the_rim(plan.structure, one), on_the_rim(plan.structure, other)
        if abs(ax - bx) > abs(ay - by) + 1e-6:
            left, right = (one, other) if ax < bx else (other, one)
            assert stands[left][0] < stands[right][0], (step.call, canvas.as_text())
        elif abs(ay - by) > abs(ax - bx) + 1e-6:
            top, bottom = (one, other) if ay < by else (other, one)
            above, left_of = stands[top][1] < stands[bottom][1], stands[top][0] < stands[bottom][0]
            assert above or left_of, (step.call, canvas.as_text())


@pytest.mark.parametrize("size", ROOM)
@pytest.mark.parametrize("name", SHIPPED)
def test_letters_stand_as_their_strands_lie(tmp_path: Path, name: str, size: str) -> None:
    """In every structure what lies left is drawn left, and the top before the bottom.

    Each letter stands over the name of its strand's side; after a changed load too.
    """
    plan = unlike(Library(tmp_path).structure(name))
    first, second = plan.remaining(1, 5), plan.remaining(2, 5)
    mended = plan.with_load(1, 5, second).with_load(2, 5, first)
    for which, step in (
        *((plan, step) for step in plan[: 2 * plan.row_length]),
        *((mended, step) for step in mended[5 : 2 * plan.row_length]),
    ):
        for colours in (False, True):
            check(which, step, size, colours=colours)


@pytest.mark.parametrize("name", SHIPPED)
def test_the_same_cross_has_the_same_picture(tmp_path: Path, name: str) -> None:
    """A call's sides come in one order, whatever the cross; what was counted says them so too."""
    plan = unlike(Library(tmp_path).structure(name))
    orders: dict[str, list[str]] = {}
    for step in plan:
        names = [side.name for side in words.sides(plan, step)]
        assert orders.setdefault(step.call, names) == names
        line = words.beads_line(plan, step)
        assert [line.index(name) for name in names] == sorted(line.index(name) for name in names)
