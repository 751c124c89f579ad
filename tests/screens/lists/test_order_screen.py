"""An order changed from the screen alone, in few keys; money as it comes; a new order."""

from __future__ import annotations

import datetime as dt
import re
from functools import partial
from pathlib import Path

from bench.commission.book import open_book
from bench.commission.lot_number import Settled
from bench.documents.library import Library
from bench.journal.store import Journal
from bench.screens.bench.screen import BenchScreen
from bench.screens.kit.reason_entry import ReasonEntry
from bench.screens.lists.commission_screen import CommissionScreen
from bench.screens.lists.order_screen import OrderScreen
from tests.support.clock import ManualClock
from tests.support.curtain import begun_curtain, ordered_curtain

from ..conftest import Sit, Sitting
from ..tour import settled
from .at_the_curtain import at_the_curtain, part, pick_row

NAMED = {" ": "space", ".": "full_stop", ",": "comma", "-": "minus", "[": "left_square_bracket"}
WRONG = (
    ("due", "2020-01-01", "2020-01-01 is past; give a day to come"),
    ("deposit", "101", "deposit percent: it takes 100 at the most"),
    ("tax", "120", "tax percent: it takes 100 at the most"),
    ("tax", "-1", "tax percent: it takes 0 at the least"),
    ("discount", "NaN", "discount percent: it takes a finite number"),
    ("design", "inf", "design hours: it takes a finite number"),
    ("boxes", "3,50", "notions: it takes a number such as 30.50 and not 30,50"),
)
"""Lines of an order's page, what is typed there, and what is said to it."""


async def ready(sitting: Sitting) -> None:
    """Wait until what a change means is on the screen."""
    for _ in range(20):
        await settled(sitting)
        if "worked out anew" not in sitting.shown:
            return


async def test_three_fewer_three_more_a_week_earlier(
    sit: Sit, sixty: Path, clock: ManualClock
) -> None:
    """From the commission's page in at most fifteen keys, with what it means beside what was.

    840.00 due, 560.00 still to pay, two pieces to finished stock; the begun dye lot holds 450 of
    the 489 beads that nineteen drops take with their spare: buy, or hang apart; the new day with
    its chance beside the old one's.
    """
    due = dt.date.fromtimestamp(clock.now().wall) + dt.timedelta(days=50)
    earlier = due - dt.timedelta(days=7)
    ordered_curtain(sixty, due)
    async with at_the_curtain(sit, 120, 40) as sitting:
        await part(sitting, "money")
        await settled(sitting)
        await pick_row(sitting, "the offer")
        await sitting.press("enter")
        assert "840.00 EUR" in sitting.shown
        await sitting.press("escape")
        for name, typed in (("accept", ""), ("deposit", "280.00")):
            await pick_row(sitting, name)
            await sitting.press("enter", *["full_stop" if c == "." else c for c in typed])
            if name == "accept":
                assert "1 accepts it" in sitting.shown
                await sitting.press("1")
            if typed:
                await sitting.press("enter")
        assert "280.00" in sitting.shown
        await sitting.press("p", "escape")
        assert (sixty / "sheets" / "curtain-account.html").exists()
        keys = [
            *("6", "enter", "down", "down", "left"),
            *("down", "left", "left", "left", "down", "right", "right", "right"),
        ]
        await sitting.press(*keys)
        await ready(sitting)
        before_keeping = " ".join(sitting.shown.split())
        for said in (
            "due 840.00 EUR, still to pay 560.00",
            "Plum: 3 fewer, 5 pieces now",
            "Eaves: 3 more, 19 pieces now",
            f"due {earlier} in place of {due}",
            "dye lot 27 runs out in lot 'Eaves' after piece 17 of 19 (450 for 489)",
            "have tubes of one dye lot",
            "or hang what comes after apart",
            "to buy: 6/0 clear drop: 2.6 g short",
        ):
            assert said in before_keeping, said
        chances = re.search(
            rf"{earlier} holds with (\d+)%.*as it is kept now: {due} holds with (\d+)%",
            before_keeping,
        )
        assert chances is not None
        new, old = map(int, chances.groups())
        assert 0 < new < old < 100
        last = ["k", "2"]
        await sitting.press(last[0])
        assert "7 of 'Plum' are made, 2 more than it would have" in sitting.shown
        assert "2 they go to finished stock" in sitting.shown
        await sitting.press(last[1])
        assert len([*keys, *last]) <= 15
        await settled(sitting)
        for said in ("840.00 EUR", "560.00 EUR", "2 made beyond a lowered count: finished stock"):
            assert said in sitting.shown, said
    with Journal.open(sixty / "journal.db", write=False) as journal:
        book = open_book(Library(sixty), journal, "curtain")
    assert [lot.pieces for lot in book.commission.lots] == [5, 19, 1]
    assert book.commission.due == earlier
    assert [*book.history.settled(book.commission).values()] == [Settled(stock=2)]


async def test_a_new_order_and_a_mistake(sit: Sit, home: Path) -> None:
    """N begins another order from this one; a wrong value is one sentence; ESC asks once."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.pick("stair-window")
        await sitting.press("enter")
        await settled(sitting)
        await sitting.press("6", "n")
        assert isinstance(sitting.app.screen, OrderScreen)
        await pick_row(sitting, "due")
        await sitting.press("enter", *"soon", "enter")
        assert "'soon' is no day; write it as 2027-05-01" in sitting.shown
        await sitting.press("escape")
        for row, typed, says in WRONG:
            await pick_row(sitting, row)
            await sitting.press("enter", "ctrl+u", *(NAMED.get(c, c) for c in typed), "enter")
            assert says in " ".join(sitting.shown.split()), (row, typed)
            await sitting.press("escape")
        await pick_row(sitting, "due")
        await sitting.press("enter", *["minus" if c == "-" else c for c in "2199-05-01"], "enter")
        await pick_row(sitting, "another lot")
        await sitting.press("enter", "down", "down", "down", "right")
        await pick_row(sitting, "price of a piece")
        await sitting.press("enter", "3", "1", "enter")
        await pick_row(sitting, "the same price")
        await sitting.press("enter", "escape")
        await sitting.press("escape")
        assert "Not kept yet" in sitting.shown
        await sitting.press("k")
        await settled(sitting)
    made = home / "commissions" / "rain-curtain-for-the-stair.toml"
    assert "due = 2199-05-01" in made.read_text("utf-8")
    with Journal.open(home / "journal.db", write=False) as journal:
        book = open_book(Library(home), journal, "rain-curtain-for-the-stair")
    assert [str(lot.price) for lot in book.commission.lots] == ["31", "31"]
    assert len(book.history.versions) == 1


async def test_a_commission_begins_on_the_list(sit: Sit, home: Path) -> None:
    """The line of a new commission opens it; kept, its file is called after its title."""
    async with sit() as sitting:
        await settled(sitting)
        await sitting.pick("+")
        assert "A new commission" in sitting.shown
        await sitting.press("enter")
        await pick_row(sitting, "called")
        await sitting.press("enter", "ctrl+u", *"Stair", "space", *"rail", "enter", "k")
        await settled(sitting)
        assert "STAIR RAIL" in sitting.shown
        assert (home / "commissions" / "stair-rail.toml").exists()
        await sitting.press("6", "enter")
        await pick_row(sitting, "cancel it")
        await sitting.press("enter", *"moved", "enter", "escape")
        await sitting.pick("stair-rail")
        assert "cancelled on " in sitting.shown
        await sitting.press("n")
        assert isinstance(sitting.app.screen, OrderScreen)


async def test_a_piece_begun_with_a_reason_counts_at_once(sit: Sit, home: Path) -> None:
    """Once it is finished it is among the lot's pieces, though a page was left as it was begun."""
    home.mkdir()
    begun_curtain(home)
    async with at_the_curtain(sit) as sitting:
        screen = sitting.app.screen
        assert isinstance(screen, CommissionScreen)
        begin = partial(screen._waive, 0, "braid")
        sitting.app.push_screen(ReasonEntry(sitting.app, "Why not wait?", ["in a hurry"], begin))
        await sitting.press("1")
        await settled(sitting)
        bench = sitting.app.screen
        assert isinstance(bench, BenchScreen)
        bench.braid.finish("good")
        sitting.app.leave_bench()
        await settled(sitting)
        assert bench.braid.piece in {times.piece for times in sitting.app.pace.pieces}
        assert "8/8" in sitting.shown
        await sitting.press("6", "enter")
        await pick_row(sitting, "Plum")
        await sitting.press("enter", "enter", *"Damson", "enter", "escape", "k")
        await settled(sitting)
        await sitting.press("escape")
        assert "next: Eaves 1, 8 of 25 good" in sitting.shown, "a lot keeps its pieces"


async def test_an_order_without_its_pattern_is_mended_on_its_page(sit: Sit, home: Path) -> None:
    """Where a pattern is gone the order's page says so; another pattern, and it is whole.

    Money that comes in meanwhile is written down all the same.
    """
    (home / "commissions").mkdir(parents=True)
    lost = 'format = 1\ntitle = "Lost"\n[[lots]]\nname = "A"\npattern = "gone"\npieces = 2\n'
    (home / "commissions" / "lost.toml").write_text(lost, "utf-8")
    async with sit() as sitting:
        await settled(sitting)
        await sitting.pick("lost")
        await sitting.press("enter")
        await settled(sitting)
        assert "there is no pattern 'gone'" in sitting.shown
        await part(sitting, "money")
        await pick_row(sitting, "payment")
        await sitting.press("enter", "ctrl+u", "5", "enter")
        assert "payment of 5.00 EUR, today: written down." in sitting.shown
        await sitting.press("escape", "6", "enter")
        await pick_row(sitting, "A")
        await sitting.press("enter")
        await pick_row(sitting, "pattern")
        await sitting.press("right", "escape", "k")
        await settled(sitting)
        assert isinstance(sitting.app.screen, CommissionScreen)
        await part(sitting, "money")
        for amount in ("10", "20"):
            await pick_row(sitting, "payment")
            await sitting.press("enter", "ctrl+u", *amount, "enter")
        assert "payment of 20.00 EUR, today: written down." in sitting.shown
    with Journal.open(home / "journal.db", write=False) as journal:
        book = open_book(Library(home), journal, "lost")
    assert len(book.history.heads) == 1
    assert len(book.history.versions) == 2, "as the file was, and as it was mended"
    assert 'pattern = "cistern"' in (home / "commissions" / "lost.toml").read_text("utf-8")
