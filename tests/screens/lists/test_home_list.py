"""On the smallest screen lists and cards keep their words apart and whole."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.geometry import Size

from bench.craft.growth import sizes_of
from bench.documents.library import Library
from bench.screens.app import BenchApp
from bench.screens.kit.hanging_braid import hanging
from bench.screens.lists.home_entry import Clause, HomeEntry
from bench.screens.lists.home_list import HomeList
from bench.screens.lists.pattern_card import CardChoice, PatternCard

from ..conftest import Sit


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


def test_a_card_names_the_others_in_the_order_of_the_key() -> None:
    """What else a line of a card can be stands in the order in which the key for right shows it."""
    choice = CardChoice("begin with", ["braiding", "loading", "setting up"], 1)
    card = PatternCard(print, print, print, "Pearl", [choice])
    assert "◀ loading ▶ or setting up, braiding" in card.draw(80, 24).as_text()
    card.act("right", Size(80, 24))
    assert "◀ setting up ▶ or braiding, loading" in card.draw(80, 24).as_text()


@pytest.mark.parametrize("width", [60, 80])
def test_news_is_read_whole(width: int) -> None:
    """What is said of the piece finished last takes a second line rather than be cut."""
    news = (
        "Silver Eaves 12 of 16: 1 h 05 for load, braid, rework included; expected 55 min to 1 h 20"
    )
    seen = HomeList(
        BenchApp(), print, print, [HomeEntry("pattern", "x", "Pearl")], news=news, loading=False
    )
    lines = seen.draw(width, 20).as_text().split("\n")
    assert " ".join(" ".join(lines[17:19]).split()) == news
    assert "ENTER open" in lines[19]


@pytest.mark.parametrize("width", [60, 80])
def test_wide_titles_are_not_cut_where_there_is_room(width: int) -> None:
    """A title of letters that are two columns wide gets the room that its line has left."""
    title = "雨樋の紐と銀の軒と露の玉の紐"
    rows = [
        HomeEntry("pattern", "x", title, (Clause("8 strands"),)),
        HomeEntry("pattern", "y", "Pearl"),
    ]
    seen = HomeList(BenchApp(), print, print, rows, loading=False).draw(width, 20).as_text()
    assert f"{title} 8 strands" in " ".join(seen.split("\n")[3].split())


def test_what_is_least_important_goes_first() -> None:
    """Where a line is short its last details are left out whole, and the first says less."""
    usual = Clause("1 h 05 (your 12 pieces: 55 min to 1 h 20)", "1 h 05 (your 12 pieces)")
    row = HomeEntry("pattern", "x", "Pearl", (usual, Clause("136 beads"), Clause("76 crosses")))
    assert row.details_in(80) == f"{usual.text}, 136 beads, 76 crosses"
    assert row.details_in(60) == f"{usual.text}, 136 beads"
    assert row.details_in(45) == usual.text
    assert row.details_in(30) == "1 h 05 (your 12 pieces)"


def test_the_picked_braid_hangs_beside_the_list_and_grows() -> None:
    """Its picture cuts no line of a piece on a narrow screen; on a wide one it is larger."""
    library = Library(Path("none"))
    plan = library.plan(library.pattern_path("silver-eaves"))
    rows = [
        HomeEntry("piece", "a", "Silver Eaves 1 of 16", (Clause("braiding"), Clause("x" * 44))),
        *(HomeEntry("pattern", f"p{n}", f"Eaves {n}", (Clause("128 beads"),)) for n in range(9)),
    ]
    seen = HomeList(BenchApp(), print, print, rows, loading=False)
    seen.picked, seen.braid = 3, hanging("", plan, sizes_of(plan.pattern))
    painted = {}
    for width, height in ((80, 24), (120, 40), (60, 20)):
        lines = seen.draw(width, height).as_text().split("\n")
        assert (f"braiding, {'x' * 44}" in lines[3]) == (width >= 80)
        painted[width] = sum(line.count("dd") for line in lines)
    assert 0 == painted[60] < painted[80] < painted[120]


async def test_typing_narrows_the_list_and_letters_stay_commands(sit: Sit, home: Path) -> None:
    """/ opens a line that every letter goes to; TAB makes them commands again, ESC shows all."""
    folder = home / "patterns"
    folder.mkdir(parents=True)
    text = Path("patterns/cistern.toml").read_text(encoding="utf-8")
    for number in range(60):
        named = text.replace('"Cistern"', f'"Cistern of {number}"')
        (folder / f"tank-{number}.toml").write_text(named, encoding="utf-8")
    async with sit() as sitting:
        home_list = sitting.app.first.home
        await sitting.press("slash", *"tankx", "backspace", *" 4", "down")
        assert [row.ref for row in home_list.shown] == [
            "tank-14", "tank-24", "tank-34", *(f"tank-{n}" for n in (4, *range(40, 50))), "tank-54"
        ]  # fmt: skip
        assert home_list.entry is not None
        assert home_list.entry.ref == "tank-24"
        assert "15 of 69 lines go with 'tank 4'" in sitting.shown
        await sitting.press("tab", "n")
        assert sitting.app.screen is not sitting.app.first, "n begins a pattern again"
        await sitting.press("escape")
        assert "15 of 69" in sitting.shown
        await sitting.press("escape")
        assert home_list.shown is home_list.rows
        assert home_list.entry.ref == "tank-24"
        await sitting.press("slash", *"silver", "enter")
        assert "SILVER EAVES" in sitting.shown
        await sitting.press("escape")
        assert home_list.entry.ref == "silver-eaves"
        await sitting.press("slash", *"nosuch")
        assert "Nothing goes with 'nosuch'." in sitting.shown


def minutes(card: str) -> int:
    """The minutes that a card tells for what its piece begins with."""
    told = re.search(r"(?:(\d+) h )?(\d+)(?: min)? from \w+ on \(", card)
    assert told is not None
    return 60 * int(told[1] or 0) + int(told[2])


async def test_a_note_is_found_by_what_it_says(sit: Sit) -> None:
    """Typing narrows the list to the piece that a note was kept with, and to its pattern."""
    async with sit() as sitting:
        await sitting.begin("gutter-pearl")
        await sitting.press("space", "n", *"row four sits high", "enter", "l", "l")
        await sitting.pick("gutter-pearl")
        await sitting.press("enter")
        assert "row four sits high" in sitting.shown, "on the pattern's card, too"
        from_braiding = minutes(sitting.shown)
        await sitting.press("right")
        assert minutes(sitting.shown) > from_braiding, "with the loading it takes longer"
        await sitting.press("escape")
        await sitting.press("slash", *"sits")
        shown = sitting.shown
        assert "2 of " in shown
        assert shown.count("note: row four sits high") == 2
        await sitting.press("escape", "slash", *"zinc")
        assert "Nothing goes with 'zinc'." in sitting.shown
        await sitting.press("escape", "slash", *"stair")
        entry = sitting.app.first.home.entry
        assert entry is not None
        assert entry.ref == "stair-rope", "what begins so, before what holds it"


def test_what_is_put_away_is_behind_one_line() -> None:
    """It is hidden until that line is opened, or its name is typed; G calls it back."""
    rows = [
        HomeEntry("commission", "porch", "Porch", is_over=True),
        HomeEntry("away", "+away", "1 commission", folds=True),
        HomeEntry("away", "door", "Door"),
    ]
    home = HomeList(BenchApp(), print, lambda: None, rows, loading=False)
    assert [row.title for row in home.shown] == ["Porch", "1 commission"]
    assert "G put away" in home.draw(80, 24).as_text()
    home.act("end", Size(80, 24))
    home.act("open", Size(80, 24))
    assert [row.title for row in home.shown] == ["Porch", "1 commission", "Door"]
    home.act("end", Size(80, 24))
    assert "G call back" in home.draw(80, 24).as_text()
    home.shows_away = False
    home.narrow("door")
    assert [row.title for row in home.shown] == ["Door"]
