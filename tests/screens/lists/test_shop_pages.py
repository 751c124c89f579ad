"""Pieces, tubes and places on their pages: one walk from the order's page through each."""

from __future__ import annotations

import datetime as dt
import shutil
from collections import Counter
from dataclasses import replace
from pathlib import Path

from bench.commission.book import keep, open_book
from bench.commission.changing import with_values
from bench.commission.finished_stock import brought, read_finished
from bench.commission.hanging_plan import arranged
from bench.commission.pieces import read_pieces
from bench.commission.tube_book import read_tubes
from bench.commission.versions import read_history
from bench.documents.library import Library
from bench.journal.commission_payloads import HangingKept
from bench.journal.store import Journal
from bench.journal.transfer import export_jsonl
from bench.screens.lists.benches_screen import BenchesScreen
from bench.screens.lists.hanging_screen import HangingScreen
from bench.screens.lists.order_ahead import new_order
from bench.screens.lists.written_sheets import short
from tests.support.curtain import begun_curtain

from ..conftest import Sit, Sitting
from ..tour import settled
from .at_the_curtain import at_the_curtain, part, pick_row


async def typed(sitting: Sitting, row: str, text: str) -> None:
    """Type a line on a row of the form that is up."""
    await pick_row(sitting, row)
    names = {" ": "space", ".": "full_stop", ",": "comma", "/": "slash", "-": "minus",
             ":": "colon"}  # fmt: skip
    await sitting.press("enter", *[names.get(ch, ch) for ch in text], "enter")


def line_of(sitting: Sitting, begins: str) -> str:
    """The line of the screen that has some words."""
    return next(line for line in sitting.shown.splitlines() if begins in line)


async def opened(sitting: Sitting, row: str) -> None:
    """Open a row of the form that is up."""
    await pick_row(sitting, row)
    await sitting.press("enter")


async def test_pieces_tubes_and_places(sit: Sit, home: Path) -> None:
    """Measured, signed off, packed and spoilt; a tube bought and weighed; two places exchanged."""
    home.mkdir()
    begun_curtain(home)
    async with at_the_curtain(sit) as sitting:
        await part(sitting, "pieces")
        await sitting.press("home", "enter")
        await typed(sitting, "length", "60")
        await opened(sitting, "good")
        await opened(sitting, "the sample")
        await opened(sitting, "approve it")
        assert "approved               by the customer, on" in sitting.shown
        await opened(sitting, "take back approval")
        assert "approve it" in sitting.shown
        await typed(sitting, "into a tray", "A")
        assert "PLUM: PACKED IN A" in sitting.shown
        await sitting.press("escape", "home", "down", "enter")
        await typed(sitting, "length", "65")
        assert "OFF: length +5.0 mm" in sitting.shown
        await opened(sitting, "good")
        assert "1 calls it good all the same" in sitting.shown
        await pick_row(sitting, "look: no gaps")
        await sitting.press("right", "escape")
        assert "What is it? 1 good all the same; 2 second; 3 spoilt" in sitting.shown
        await opened(sitting, "spoilt")
        await sitting.press("0", *"too", "space", *"long", "enter")
        assert "It is spoilt: too long." in sitting.shown
        await sitting.press("escape")
        assert "packed in A, the sample" in sitting.shown
        assert "spoilt (too long); failed “no gaps”" in sitting.shown
        await sitting.press("home", "down", "down", "g")
        assert "Plum is good." in sitting.shown
        await typed(sitting, "pack what is good", "B")
        await opened(sitting, "tray A")
        await typed(sitting, "on", "2024-11-02")
        await opened(sitting, "hand it over")
        told = " ".join(sitting.shown.split())
        assert "1 piece, on 02 Nov" in told
        assert "BEFORE they were begun" in told
        assert "1 hands them over" in told
        await sitting.press("1")
        assert "1 piece is handed over, on 02 Nov" in sitting.shown
        await sitting.press("escape")
        await opened(sitting, "out on 2024-11-02")
        await sitting.press("down", "enter", "1", "escape")
        await opened(sitting, "tray A")
        await typed(sitting, "on", "2024-11-02")
        await opened(sitting, "hand it over")
        await sitting.press("1", "escape")
        await pick_row(sitting, "out on 2024-11-02")
        assert "1 piece" in line_of(sitting, "out on 2024-11-02")
        await sitting.press("escape")
        await part(sitting, "money")
        await settled(sitting)
        await opened(sitting, "accept the offer")
        await settled(sitting)
        await sitting.press("1")
        assert "30.00 is to come" in line_of(sitting, "   payment")
        await typed(sitting, "deposit", "10")
        await typed(sitting, "refund", "11")
        assert "11.00 is more than the 10.00 that came in" in sitting.shown
        await sitting.press("down")
        await opened(sitting, "part of 2024-11-02")
        assert "DUE FOR THIS PART" in sitting.shown
        await sitting.press("p", "c", "escape", "escape")
        figures = (home / "sheets" / "curtain-part-2024-11-02.csv").read_text("utf-8")
        assert figures.splitlines()[1] == "Plum,1,30.00,30.00,EUR"
        assert "20.00" in (home / "sheets" / "curtain-part-2024-11-02.html").read_text("utf-8")
        await part(sitting, "pieces")
        await opened(sitting, "made away")
        await sitting.press("right")
        await sitting.press("k")
        await pick_row(sitting, "Eaves 1")
        await sitting.press("t", "enter")
        assert "1 piece into tray B." in sitting.shown, "the one named last"
        await sitting.press("escape")

        await part(sitting, "tubes")
        await opened(sitting, "the stock file")
        assert "1 tube taken in" in sitting.shown
        await opened(sitting, "a tube more")
        for row, text in (("name", "clear drop"), ("size", "6/0"), ("holds", "20")):
            await typed(sitting, row, text)
        await sitting.press("k")
        stock = home / "stock.toml"
        stock.write_text(stock.read_text("utf-8").replace("grams = 30", "grams = 20"), "utf-8")
        await pick_row(sitting, "6/0 clear drop")
        await sitting.press("enter", "escape")
        assert "it differs in 1 tube" in line_of(sitting, "the stock file")
        await opened(sitting, "the stock file")
        assert "file 300 beads, book 450 beads" in sitting.shown
        await sitting.press("x")
        assert "1 line refused" in sitting.shown
        await sitting.press("escape")
        assert "take in what is new" in line_of(sitting, "the stock file")
        await opened(sitting, "not drawn yet")
        await sitting.press("x")
        assert "took nothing of these tubes" in sitting.shown
        await sitting.press("escape")
        await pick_row(sitting, "6/0 clear drop")
        await sitting.press("enter")
        await typed(sitting, "weighed", "18.5 8.5")
        await sitting.press("escape", "escape")

        await part(sitting, "hanging")
        await typed(sitting, "places", "0:40 80:40 80:300")
        await settled(sitting)
        assert "window" in line_of(sitting, "they are on a")
        await pick_row(sitting, "they are on a")
        await sitting.press("right")
        assert "above or below another one" in " ".join(sitting.shown.split())
        await typed(sitting, "places", "6 500 40,90")
        await settled(sitting)
        await pick_row(sitting, "1:")
        before = sitting.shown
        await sitting.press("right")
        assert sitting.shown != before
        screen = sitting.app.screen
        assert isinstance(screen, HangingScreen)
        assert screen.plan is not None
        screen.plan = arranged(screen.drafted, screen.plan, [None, *screen.plan.hung.at[1:]])
        await pick_row(sitting, "1:")
        assert "RIGHT hangs" in line_of(sitting, "1: 0 along")
        await sitting.press("right")
        assert screen.plan.hung.at[0] is not None, "one that hung nowhere hangs there"
        await pick_row(sitting, "3:")
        await sitting.press("d", "d")
        assert "60 down" in line_of(sitting, "3: 200 along")
        await typed(sitting, "2:", "")
        await typed(sitting, "a place more", "550 30")
        assert "'550' has no height" in " ".join(sitting.shown.split())
        await sitting.press("escape")
        await typed(sitting, "a place more", "550:30")
        await pick_row(sitting, "7:")
        assert "–" not in line_of(sitting, "7: 550 along")
        await sitting.press("enter", *["backspace"] * 6, *"none", "enter")
        await typed(sitting, "heights in turn", "10 20 35")
        await pick_row(sitting, "pieces are begun")
        await sitting.press("right", "escape")
        assert "Not kept yet" in sitting.shown
        await sitting.press("1")
        assert "Kept: 6 places" in sitting.shown
        await sitting.press("p", "escape")
        assert "Cut list" in (home / "sheets" / "curtain-hanging.html").read_text("utf-8")

    with Journal.open(home / "journal.db", write=False) as journal:
        book = open_book(Library(home), journal, "curtain")
        pieces = read_pieces(journal, book)
        statuses = Counter(piece.status for piece in pieces.pieces)
        assert statuses == {"made": 4, "packed": 2, "delivered": 1, "spoilt": 1}
        assert pieces.samples[0].piece is not None
        assert [len(said.pieces) for _, said in journal.each(HangingKept, book.id)] == [6]
        tubes = sorted(round(tube.held) for tube in read_tubes(journal).values())
    assert tubes == [150, 450]
    assert len(book.history.versions) == 2, "as its file is once, and with its places"
    hanging = book.commission.hanging
    assert hanging is not None
    assert hanging.made_by_place
    assert [drop for _, drop in hanging.places] == [10, 20, 35, 10, 20, 35]


async def test_what_cannot_be_saved_is_told_over_the_page_and_kept(
    sit: Sit, home: Path, tmp_path: Path
) -> None:
    """Where the disk takes nothing a line is still written down, as not saved, and saved later."""
    home.mkdir()
    begun_curtain(home)
    async with at_the_curtain(sit) as sitting:
        await part(sitting, "pieces")
        await sitting.press("home", "enter")
        (home / "journal.db").rename(tmp_path / "away.db")
        gone = home.rename(tmp_path / "gone")
        home.write_text("a file where the folder was")
        await typed(sitting, "length", "60")
        assert "NOT SAVED (" in sitting.shown
        assert "60" in next(line for line in sitting.shown.splitlines() if "length" in line)
        home.unlink()
        gone.rename(home)
        (tmp_path / "away.db").rename(home / "journal.db")
    with Journal.open(home / "journal.db", write=False) as journal:
        book = open_book(Library(home), journal, "curtain")
        assert read_pieces(journal, book).pieces[0].measures.length_mm == 60


async def test_sheets_are_written_from_their_pages(sit: Sit, home: Path) -> None:
    """Tags, the closing sheet with its CSV, the list to buy and a rate, each by keys alone."""
    home.mkdir()
    begun_curtain(home)
    async with at_the_curtain(sit) as sitting:
        await part(sitting, "tags")
        await sitting.press("right", "p")
        assert "Written: " in sitting.shown
        await sitting.press("escape")

        await part(sitting, "rates")
        await typed(sitting, "an hour's work", "24.5")
        await typed(sitting, "deposit, %", "101")
        assert "it takes 100 at the most" in sitting.shown
        await sitting.press("escape", "escape")

        await sitting.press("4", "enter")
        await settled(sitting)
        assert "LOTS" not in sitting.shown
        await sitting.press("p", "c", "escape")

        await sitting.press("3", "enter")
        await pick_row(sitting, "end bead")
        await sitting.press("b")
        await pick_row(sitting, "15/0")
        await sitting.press("enter", "k", "b")
        assert sitting.shown.count("✓") == 3
        await pick_row(sitting, "15/0")
        await sitting.press("enter")
        await typed(sitting, "dye lot", "P7")
        await sitting.press("k")
        await pick_row(sitting, "8/0 pale cloud")
        await sitting.press("a", "4", "full_stop", "5", "0", "enter")
        assert "8/0 pale cloud: 4.50 each, as asked." in sitting.shown
        assert "still to buy 13.50 EUR, and what has no price in your stock" in sitting.shown
        await pick_row(sitting, "8/0 ground")
        for left, packs in ((4, "4 × tube"), (3, "3 × tube"), (2, "2 × tube")):
            await sitting.press("enter")
            await pick_row(sitting, "how many alike")
            await sitting.press(*["left"] * left, "k")
            assert packs in line_of(sitting, "8/0 ground"), "one by one, and still the picked line"
        await pick_row(sitting, "gel-spun")
        await sitting.press("enter")
        await pick_row(sitting, "how many alike")
        await sitting.press("left", "k")
        assert "1 × spool of 50 m (35 m short)" in sitting.shown, "one of the two is bought"
        await sitting.press("p")
        assert "curtain-to-buy.html" in sitting.shown
    sheets = home / "sheets"
    names = sorted(file.name for file in sheets.iterdir())
    assert names == [
        "curtain-closing.csv", "curtain-closing.html", "curtain-tags.html", "curtain-to-buy.html",
    ]  # fmt: skip
    assert "Plum 1 of" in (sheets / "curtain-tags.html").read_text("utf-8")
    assert (sheets / "curtain-closing.csv").read_text("utf-8").startswith("what,count,each")
    assert "hourly_rate = 24.5" in (home / "settings.toml").read_text("utf-8")
    with Journal.open(home / "journal.db", write=False) as journal:
        taken = [tube.taken for tube in read_tubes(journal).values()]
        beads = [one for one in taken if one.what == "beads"]
        assert len({(one.size, one.name) for one in beads}) == 4
        assert [one.dye_lot for one in beads if one.size == "15/0"] == ["P7"]
        assert all(one.shape and one.colour for one in beads)
        assert {one.what for one in taken} == {"beads", "notion", "thread"}
        taken = [one for one in taken if one.source == "bought"]
    listed = (sheets / "curtain-to-buy.html").read_text("utf-8")
    assert "gel-spun" in listed, "some of it is still to buy"
    assert not any(
        one.name in listed for one in taken if one.what != "thread" and one.name != "ground"
    )


async def test_a_piece_leaves_its_lot_and_the_stock_by_keys(sit: Sit, home: Path) -> None:
    """Out of its lot, sold, that taken back, lent and back, and into another lot of the order."""
    home.mkdir()
    begun_curtain(home)
    async with at_the_curtain(sit) as sitting:
        await part(sitting, "pieces")
        await sitting.press("home", "enter")
        await opened(sitting, "into stock")
        assert "Plum is finished stock now." in sitting.shown
        await typed(sitting, "sold", "25,5")
        assert "write 30.50, not 30,50" in sitting.shown
        await sitting.press("escape")
        await typed(sitting, "sold", "25.50")
        assert "sold for 25.50 EUR on" in sitting.shown
        await sitting.press("escape", "escape")
        await part(sitting, "finished stock")
        assert "brought 25.50 EUR, no part of any order's sum" in sitting.shown
        await sitting.press("enter")
        await opened(sitting, "take back")
        assert "It is in stock, as before." in sitting.shown
        await typed(sitting, "lent", "5")
        await opened(sitting, "came back")
        assert "back on" in sitting.shown
        await opened(sitting, "into Eaves")
        assert "is in stock" in sitting.shown
        await sitting.press("escape")
        await part(sitting, "pieces")
        assert "Eaves 1" in sitting.shown
        await pick_row(sitting, "Eaves 1")
        await sitting.press("enter")
        await opened(sitting, "into stock")
        await opened(sitting, "lost")
        await opened(sitting, "take back")
        await sitting.press("escape")
        await opened(sitting, "from stock")
        await opened(sitting, "Plum")
        assert "It is Plum 1 now." in sitting.shown
        await opened(sitting, "take back")
        await sitting.press("escape")
    with Journal.open(home / "journal.db", write=False) as journal:
        book = open_book(Library(home), journal, "curtain")
        assert book.made == {book.commission.lots[0].id: 6}
        (piece,) = read_finished(journal, Library(home))
        assert (piece.says, piece.came_from) == ("in stock", "Plum 1 of curtain")
        assert brought([piece]) == ("5.00 EUR",)


async def test_an_order_of_another_bench_is_taken_in(sit: Sit, home: Path, tmp_path: Path) -> None:
    """Its events come in by a file, twice counts once; its order is put on the list by a key."""
    home.mkdir()
    begun_curtain(home)
    other = Library(tmp_path / "other")
    new = new_order(other)
    with Journal.open(tmp_path / "other.db", write=True) as journal:
        journal.append_many(keep(new, new.commission, dt.date(2026, 3, 1)))
        with (tmp_path / "given.jsonl").open("w", encoding="utf-8") as file:
            export_jsonl(journal, file, customers=False)
    async with at_the_curtain(sit) as sitting:
        await part(sitting, "another bench")
        await opened(sitting, "give out")
        screen = sitting.app.screen
        assert isinstance(screen, BenchesScreen)
        (own,) = (home / "sheets").glob("*.jsonl")
        assert f"events are in sheets/{own.name}" in sitting.shown
        shutil.copy(tmp_path / "given.jsonl", home / "sheets" / "bench-other.jsonl")
        screen.on_screen_resume()
        lies = f"bench-other.jsonl, in {short(home / 'sheets')}"
        assert [row.value for row in screen.rows()][2:] == [lies]
        take = screen.rows()[1].typed
        assert take is not None
        for said in ("1 event taken in, 0 there", "0 events taken in, 1 there"):
            take(str(tmp_path / "given.jsonl"))
            screen.redraw()
            assert said in sitting.shown
        await opened(sitting, "order")
        assert "A new commission is on the list" in sitting.shown
        later = with_values(new.commission, due=dt.date(2199, 5, 1))
        with Journal.open(tmp_path / "other.db", write=True) as journal:
            book = replace(new, history=read_history(journal, new.id), text="", stamp=None)
            (other.home / "commissions" / "order.toml").unlink()
            journal.append_many(keep(book, later, dt.date(2026, 3, 2)))
            with (tmp_path / "given.jsonl").open("w", encoding="utf-8") as file:
                export_jsonl(journal, file, customers=False)
        take(str(tmp_path / "given.jsonl"))
        sitting.app.pop_screen()
        sitting.app.pop_screen()
        await sitting.pick("order")
        await sitting.press("enter")
        await settled(sitting)
        await sitting.press("6")
        assert "another bench has, as of 2026-03-02: due 2199-05-01" in sitting.shown
        await sitting.press("enter", "home", "enter", "k")
        await settled(sitting)
        assert "another bench has" not in sitting.shown
        assert "DUE        2199-05-01" in sitting.shown
    assert (home / "commissions" / "order.toml").exists()
