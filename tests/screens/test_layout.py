"""On the smallest screen lists and cards keep their words apart and whole."""

from __future__ import annotations

import pytest

from bench.screens.lists.home_view import Card, Choice, Home, Row, draw_card, draw_home


def test_a_card_with_more_than_it_can_show_scrolls() -> None:
    """On a small screen a card's text stays above the rule; what is below comes by scrolling."""
    choices = [Choice(name, ["one", "two"]) for name in ("size", "colourway", "begin with")]
    card = Card("Pearl", choices, facts=[f"fact {n}" for n in range(10)], warnings=["too thick"])
    seen = draw_card(card, 60, 20).as_text()
    assert seen.split("\n")[17] == "─" * 60
    assert "fact 0" in seen
    assert "PAGE DOWN" in seen
    assert "too thick" not in seen
    card.scroll = 99
    seen = draw_card(card, 60, 20).as_text()
    assert "too thick" in seen
    assert seen.split("\n")[19].startswith(" ENTER start")


@pytest.mark.parametrize("width", [60, 80])
def test_news_is_read_whole(width: int) -> None:
    """What is said of the piece finished last takes a second line rather than be cut."""
    news = (
        "Silver Eaves 12 of 16: 1 h 05 for load, braid, rework included; expected 55 min to 1 h 20"
    )
    seen = draw_home(Home([Row("pattern", "x", "Pearl")], news=news, loading=False), width, 20)
    lines = seen.as_text().split("\n")
    assert " ".join(" ".join(lines[17:19]).split()) == news
    assert "ENTER open" in lines[19]
