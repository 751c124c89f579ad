"""What is in sight of a list or a text, and where its keys lead."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bench.screens.kit.canvas import Canvas
from bench.screens.kit.picking import draw_list, moved, scrolled, turned, window

ACTIONS = st.sampled_from(["up", "down", "page_up", "page_down", "home", "end", "open"])


@given(st.integers(0, 200), st.integers(0, 199), st.integers(1, 60))
def test_the_picked_line_is_in_sight(count: int, picked: int, room: int) -> None:
    """As many lines as find room are shown, all of the list, and the picked one among them."""
    shown = window(count, picked, room)
    assert len(shown) == min(count, room)
    assert all(0 <= line < count for line in shown)
    if picked < count:
        assert picked in shown


@given(st.integers(1, 200), st.lists(ACTIONS, max_size=30))
def test_no_key_leads_off_the_list(count: int, actions: list[str]) -> None:
    """Whatever is pressed, a line of the list is picked; HOME and END are its ends."""
    picked = 0
    for action in actions:
        picked = moved(picked, action, count)
        assert 0 <= picked < count
    assert moved(picked, "home", count) == 0
    assert moved(picked, "end", count) == count - 1
    assert moved(picked, "open", count) == picked


def test_a_page_is_as_long_as_the_screen_says() -> None:
    """Page keys go on by a page and stop at the ends."""
    assert moved(3, "page_down", 40, 12) == 15
    assert moved(3, "page_up", 40, 12) == 0
    assert moved(35, "page_down", 40, 12) == 39
    assert moved(0, "down", 0) == 0


def test_a_text_scrolls_to_its_last_page_and_no_further() -> None:
    """What is pressed past the end is not kept; a text that finds room does not scroll."""
    first = 0
    for _ in range(9):
        first = scrolled(first, "page_down", 40, 16, 15)
    assert first == 24
    assert scrolled(first, "up", 40, 16) == 23
    assert scrolled(0, "down", 5, 16) == 0


def test_choices_go_round() -> None:
    """Past the last choice comes the first, and before the first the last."""
    assert turned(2, "right", 3) == 0
    assert turned(0, "left", 3) == 2
    assert turned(1, "open", 3) == 1


def test_each_line_in_sight_can_be_touched() -> None:
    """A list's lines carry their numbers; the picked one is marked by a sign, not colour alone."""
    canvas = Canvas(20, 6)
    draw_list(canvas, 1, 3, 9, 5, lambda number, y, style: None)
    assert [canvas.action_at(4, y) for y in range(6)] == [
        None,
        "row 4",
        "row 5",
        "row 6",
        None,
        None,
    ]
    assert canvas.as_text().split("\n")[2].startswith(" ▶")
