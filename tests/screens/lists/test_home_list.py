"""On the smallest screen lists and cards keep their words apart and whole."""

from __future__ import annotations

import pytest
from textual.geometry import Size

from bench.screens.app import BenchApp
from bench.screens.lists.home_list import HomeEntry, HomeList
from bench.screens.lists.pattern_card import CardChoice, PatternCard


def test_a_card_with_more_than_it_can_show_scrolls() -> None:
    """On a small screen a card's text stays above the rule; what is below comes by scrolling."""
    choices = [CardChoice(name, ["one", "two"]) for name in ("size", "colourway", "begin with")]
    card = PatternCard(
        print,
        print,
        print,
        "Pearl",
        choices,
        facts=[f"fact {n}" for n in range(10)],
        warnings=["too thick"],
    )
    seen = card.draw(60, 20).as_text()
    assert seen.split("\n")[17] == "─" * 60
    assert "fact 0" in seen
    assert "PAGE DOWN" in seen
    assert "too thick" not in seen
    for _ in range(9):
        card.act("page_down", Size(60, 20))
    assert "too thick" in card.draw(60, 20).as_text()
    card.act("page_up", Size(60, 20))
    assert "too thick" not in card.draw(60, 20).as_text(), "nothing is kept past the end"
    card.act("page_down", Size(60, 20))
    seen = card.draw(60, 20).as_text()
    assert "too thick" in seen
    assert seen.split("\n")[19].startswith(" ENTER start")


@pytest.mark.parametrize("width", [60, 80])
def test_news_is_read_whole(width: int) -> None:
    """What is said of the piece finished last takes a second line rather than be cut."""
    news = (
        "Silver Eaves 12 of 16: 1 h 05 for load, braid, rework included; expected 55 min to 1 h 20"
    )
    seen = HomeList(
        BenchApp(), print, [HomeEntry("pattern", "x", "Pearl")], news=news, loading=False
    )
    lines = seen.draw(width, 20).as_text().split("\n")
    assert " ".join(" ".join(lines[17:19]).split()) == news
    assert "ENTER open" in lines[19]


@pytest.mark.parametrize("width", [60, 80])
def test_wide_titles_are_not_cut_where_there_is_room(width: int) -> None:
    """A title of letters that are two columns wide gets the room that its line has left."""
    title = "雨樋の紐と銀の軒と露の玉の紐"
    rows = [HomeEntry("pattern", "x", title, "8 strands"), HomeEntry("pattern", "y", "Pearl")]
    seen = HomeList(BenchApp(), print, rows, loading=False).draw(width, 20).as_text()
    assert f"{title} 8 strands" in " ".join(seen.split("\n")[3].split())
