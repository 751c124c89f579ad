"""On the smallest screen all that a screen says can be read."""

from __future__ import annotations

from bench.screens.home_view import Card, Choice, draw_card


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
