"""On the smallest screen no text is written over other text, and none is cut at the edge."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.geometry import Size

from bench.screens.app import BenchApp
from bench.screens.kit.board_screen import BoardScreen
from bench.screens.kit.canvas import Canvas, Style, fit
from bench.screens.lists.home_list import HomeEntry, HomeList
from bench.screens.lists.pattern_card import CardChoice, PatternCard

from .conftest import Sit
from .tour import walk

CUT = {
    "Downpipe, moss",
    "Silver Eaves, small, dusk",
    "second",
    "Each thread fixed at its middle, its ends at their places",
    "one c on the line of top, right of the two, at cross 35",
}
"""Names in a line of a list, and steps of a list that are said in full where they are in hand."""


class Watched:
    """Notes, of all text that is written on any canvas, what covers other text and what is cut."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.covered: list[str] = []
        self.cut: list[str] = []
        write = Canvas.text

        def text(
            canvas: Canvas, x: int, y: int, text: str, style: Style = "", width: int | None = None
        ) -> int:
            row = canvas.rows[y] if 0 <= y < canvas.height else []
            room = canvas.width - x if width is None else min(width, canvas.width - x)
            shown = fit(text, room)
            under = "".join(ch for ch, _ in row[max(0, x) : x + len(shown)])
            if shown.strip() and any(
                a.isalnum() and a != b for a, b in zip(under, shown, strict=False)
            ):
                self.covered.append(f"{shown!r} over {under!r}")
            if shown != fit(text, 10_000):
                self.cut.append(text)
            return write(canvas, x, y, text, style, width)

        monkeypatch.setattr(Canvas, "text", text)


def fair(found: str) -> bool:
    """Whether a text may be cut: a name in a list, or a path, as long as the maker's folders."""
    path = found.startswith("/") or "/home." in found
    return found in CUT or path or "journal.db" in found or "file exists" in found


@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24)])
async def test_no_text_lies_over_other_text(
    sit: Sit, sixty: Path, monkeypatch: pytest.MonkeyPatch, width: int, height: int
) -> None:
    """On no small screen is text written over text, and only lists and names are cut."""
    (sixty / "settings.toml").write_text("format = 1\n[press]\nguard_s = 0.0\n")
    watched = Watched(monkeypatch)
    wrong: list[str] = []
    async with sit(width, height) as sitting:
        async for name in walk(sitting, sixty):
            watched.covered.clear()
            watched.cut.clear()
            screen = sitting.app.screen
            assert isinstance(screen, BoardScreen)
            screen.redraw()
            wrong += [f"{name}: {found}" for found in watched.covered]
            wrong += [f"{name}: cut {found!r}" for found in watched.cut if not fair(found)]
    assert wrong == []


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
