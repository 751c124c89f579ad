from __future__ import annotations

from pathlib import Path

import pytest

from bench.craft.load import SKIP
from bench.craft.plan import Plan
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.making.worked_pattern import WorkedPattern
from bench.screens.bench.whole_row import draw_row_letters, draw_row_words
from bench.screens.kit.canvas import Canvas
from bench.screens.kit.framed_page import draw_title
from bench.screens.kit.keys import Keys
from bench.screens.kit.large_letters import HEIGHT
from bench.screens.kit.view import View

from .test_as_it_lies import found, unlike


def rope() -> WorkedPattern:
    """The shipped rope, worked up with the usual settings."""
    return WorkedPattern.from_library(Library(Path("nowhere")), Settings(), "stair-rope")


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
def test_every_halt_of_a_rope_stands_in_large_letters(width: int, height: int) -> None:
    """What is to be done at each mark fills lines of large letters above its steps and caution."""
    for mark in rope().marks:
        canvas = Canvas(width, height)
        lines = len(mark.steps) + 1
        y = draw_title(canvas, 1, mark.do, "warn", below=lines)
        parts = len(mark.do.split(", "))
        assert y >= 1 + HEIGHT * parts, mark.do
        assert y + lines <= height - 4, mark.do


@pytest.mark.parametrize(("room", "scale"), [(58, 1), (118, 2)])
def test_the_letters_of_a_whole_row_are_large(room: int, scale: int) -> None:
    """All four crosses of a row show each strand's letter large, in the order of the sides.

    Crosses of the row that are made are left out; where a row has no room nothing is drawn.
    """
    view = View(80, 24, Keys(Settings()))
    plan = unlike(Library(Path("nowhere")).structure("kongo-8"))
    for made in range(plan.row_length):
        canvas = Canvas(room + 2, HEIGHT * scale + 1)
        assert draw_row_letters(canvas, 1, 0, plan, plan.step(made + 1), scale, room, view)
        crosses = plan[made : plan.row_length]
        for step in crosses:
            for move in step.carried:
                letter = move.bead or SKIP
                assert len(found(canvas, letter, scale)) == 1, (letter, canvas.as_text())
            assert step.call.replace(" and ", "+").upper() in canvas.as_text()
        assert canvas.as_text().count("made") == made
    narrow = Canvas(40, HEIGHT + 1)
    assert not draw_row_letters(narrow, 1, 0, plan, plan.step(1), 1, 38, view)
    assert not narrow.as_text().strip()


def test_a_bead_that_changes_is_called_new_in_its_row() -> None:
    """Where a press counts a row, its words tell which beads are other ones than before."""
    plan = Library(Path("nowhere")).plan(Path("patterns/gutter-pearl.toml"))
    canvas = Canvas(80, 8)
    draw_row_words(canvas, 0, 0, 8, plan, plan.step(13), 40)
    assert canvas.as_text().count("new b") == 8
    canvas = Canvas(80, 8)
    draw_row_words(canvas, 0, 0, 8, plan, plan.step(17), 40)
    assert "new" not in canvas.as_text()


def test_more_letters_than_there_is_room_for_leave_the_call(tmp_path: Path) -> None:
    """A row of sixteen strands has no room on a small screen: the call stays."""
    plan: Plan = unlike(Library(tmp_path).structure("kongo-16"))
    view = View(80, 24, Keys(Settings()))
    assert not draw_row_letters(Canvas(60, 6), 1, 0, plan, plan.step(1), 1, 58, view)
