"""A new colourway from another one, and out of the stock."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from bench.craft.pattern import Bead, ColourChange
from bench.screens.drawing.colour_page import ColourPage
from bench.screens.drawing.colourway_page import ColourwayPage
from tests.support.boards import with_loads

from .bare_board import BareBoard

STOCK = """
format = 1
[[beads]]
size = "8/0"
colour = "#8c2f24"
name = "Kiln red"
grams = 30
[[beads]]
size = "11/0"
colour = "#86a3b8"
name = "Wet slate"
grams = 30
"""


def test_the_nearest_in_stock_is_told_where_it_is_far_off(tmp_path: Path) -> None:
    """A red for a pale grey is taken and told with how far it is; one as wished is not told."""
    (tmp_path / "stock.toml").write_text(STOCK)
    at = BareBoard(with_loads("bbccbb"), home=tmp_path)
    page = ColourwayPage(at)
    at.to_mode(page)
    at.press("s")
    shown = at.shown()
    assert page.looks["c"].name == "Kiln red"
    assert "The nearest is far from what was wished (ΔE2000): c (" in shown
    assert "b (" not in shown


def test_a_bead_whose_colour_is_turned_is_called_by_what_it_looks_like() -> None:
    """The names of the pattern stay where the colour does, and go with it where it does not."""
    at = BareBoard(with_loads("abcd"))
    at.to_mode(ColourwayPage(at))
    assert "wet slate" in at.shown().split("the new one")[1]
    at.press(*["right"] * 10)
    shown = at.shown()
    assert shown.count("wet slate") == 1
    at.press("enter")
    at.asked[-1].keep("rose")
    sheet = at.drawing.draft.sheet
    looks = sheet.pattern.colourways["rose"]
    assert {looks[x].name for x in "abcd"}.isdisjoint({sheet.beads[x].name for x in "abcd"})


def test_a_colourway_that_looks_as_another_one_is_told() -> None:
    """Greys whose hue is turned a little are what they were; turned dark they are not."""
    at = BareBoard(with_loads("bbccbb"))
    at.to_mode(ColourwayPage(at))
    assert "At a glance it looks as as written" not in at.shown()
    at.press("right")
    assert "At a glance it looks like the colours as written" in at.shown()
    at.press(*["down"] * 6)
    assert "At a glance" not in at.shown()


class Later(BareBoard):
    """A board whose work beside the keys is done when the test says so."""

    later: tuple[tuple[Callable[[], object], Callable[[object], None]], ...] = ()

    def beside(self, work: Callable[[], object], done: Callable[[object], None]) -> None:
        """Keep it."""
        self.later = (*self.later, (work, done))


def test_names_that_come_in_later_leave_the_picked_colour_picked() -> None:
    """The list of named colours is got ready beside the keys: it moves nothing under the cursor."""
    at = Later(with_loads("bbccbb"))
    taken: list[ColourChange] = []
    for letter in ("", "b"):
        page = ColourPage(at, Bead(size="8/0"), "COLOUR", taken.append, letter=letter)
        before = page.offered
        work, done = at.later[-1]
        done(work())
        assert page.offered[: len(before)] == before
        assert len(page.offered) > 139
    new = ColourPage(at, Bead(size="8/0"), "COLOUR", taken.append)
    new.press("enter", None)
    assert taken == []
