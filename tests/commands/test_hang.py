"""`hang`: places, an arrangement that is kept, two pieces exchanged, drawing and cut list."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest

from bench.commission.book import open_book
from bench.commission.pieces import read_pieces
from bench.commission.place_turns import next_by_place
from bench.commission.starting import start_of_lot
from bench.documents.library import Library
from bench.documents.settings import Settings
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.worked_pattern import WorkedPattern
from tests.support.curtain import CURTAIN

HOOP = ("--shape", "hoop", "--diameter", "200", "--evenly", "6", "--drops", "40,120")


@pytest.fixture
def window(call: Any) -> Any:
    """A maker with a curtain of two colourways."""
    (call.home / "commissions").mkdir(parents=True)
    text = CURTAIN.replace("pieces = 8", 'colourway = "dusk"\npieces = 3').replace("16", "3")
    (call.home / "commissions" / "curtain.toml").write_text(
        text.partition('[[lots]]\nname = "Rope"')[0]
    )
    return call


def test_a_hoop_from_places_to_cut_list(window: Any, tmp_path: Path) -> None:
    """Six pieces on a hoop: none alike side by side, none better; kept, swapped, drawn."""
    said = window("hang", "curtain", *HOOP, "--keep", "--json").json
    assert (said["alike"], said["close"], said["exact"], said["left_over"]) == (0, 0, True, [])
    assert [p["thread_mm"] for p in said["places"]] == [100, 180] * 3
    assert (said["thread_m"], said["knots_mm"]) == (0.84, 60)
    assert said["off_centre_mm"] < 5
    text = (window.home / "commissions" / "curtain.toml").read_text("utf-8")
    assert "[hanging]" in text
    before = [p["piece"] for p in said["places"]]
    swapped = window("hang", "curtain", "--swap", "1", "2", "--json").json
    assert [p["piece"] for p in swapped["places"]] == [before[1], before[0], *before[2:]]
    assert swapped["kept"]
    assert swapped["alike"] == 2
    anew = window("hang", "curtain", "--anew", "--json").json
    assert (anew["alike"], anew["moves"]) == (0, 2)
    done = window("hang", "curtain", "--svg", "h.svg", "--html", "h.html")
    ET.fromstring((tmp_path / "h.svg").read_text("utf-8"))
    page = (tmp_path / "h.html").read_text("utf-8")
    assert "Cut list" in page
    assert "have the fixing checked" in page
    assert "have the fixing checked" in done.out
    assert max(map(len, done.out.splitlines())) <= 80


def test_fewer_places_than_pieces(window: Any) -> None:
    """What finds no place is told."""
    said = window("hang", "curtain", "--places", "0:40,50:90", "--json").json
    assert len(said["left_over"]) == 4
    assert said["off_centre_mm"] is None


def test_a_window_with_places_anywhere(window: Any) -> None:
    """Neighbours are those within the set distance, both ways; heights in turn from left to right.

    Two that are 30 along and 40 down from each other are 50 apart.
    """
    places = ("--shape", "window", "--places", "0:100,30:140,200:100", "--near")
    words = ("hang", "curtain", *places)
    both = window(*words, "50", "--without", "Eaves", "--json").json
    assert both["alike"] == 1
    assert window(*words, "49.9", "--json").json["alike"] == 0
    said = window("hang", "curtain", "--drops", "10 20", "--json").json
    assert [(p["x_mm"], p["drop_mm"]) for p in said["places"]] == [(0, 10), (30, 20), (200, 10)]
    text = (window.home / "commissions" / "curtain.toml").read_text("utf-8")
    assert "near_mm = 49.9" in text


def test_what_did_not_come_out_does_not_hang(window: Any) -> None:
    """Good pieces hang by their numbers; one made again hangs where the spoilt one did; no rope."""
    window("hang", "curtain", "--places", "0:40,50:90,100:40,150:90,200:40,250:90", "--keep")
    pattern = WorkedPattern.from_library(
        Library(window.home), Settings(), "silver-eaves", None, "dusk"
    )
    with Journal.open(window.home / "journal.db", write=True) as journal:
        for number in range(1, 4):
            braid = Braid.start(
                journal, pattern, stage="finish", commission="curtain", lot="Plum", number=number
            )
            braid.finish("good") if number != 2 else braid.give_up("a broken bead")
    before = [place["piece"] for place in window("hang", "curtain", "--json").json["places"]]
    assert "Plum 2" not in before
    assert {"Plum 1", "Plum 3", "Plum 4"} <= set(before)
    said = window("hang", "curtain", "--without", "Eaves", "--json").json
    assert [p["piece"] for p in said["places"] if p["piece"]].count("Eaves 1") == 0
    order = window("commission", "curtain").out
    assert "Eaves: is left out of the hanging" in " ".join(order.split())
    said = window("hang", "curtain", "--with", "Eaves", "--json").json
    assert {p["piece"] for p in said["places"]} == set(before)


def test_pieces_are_begun_by_their_places(window: Any) -> None:
    """Each next piece is that of the first place whose piece is not begun; a drying one waits."""
    window("hang", "curtain", *HOOP, "--made-by-place", "yes")
    library = Library(window.home)
    made = {
        lot: WorkedPattern.from_library(library, Settings(), "silver-eaves", None, colourway)
        for lot, colourway in (("Plum", "dusk"), ("Eaves", None))
    }
    begun: list[str] = []
    with Journal.open(window.home / "journal.db", write=True) as journal:
        while True:
            book = open_book(library, journal, "curtain")
            found = read_pieces(journal, book)
            turn = next_by_place(journal, book, found, accepted=False)
            if turn is None:
                break
            assert turn[0] == len(begun) + 1
            lot = book.commission.lot(turn[1])
            number = found.numbers(lot)[len(found.begun_numbers(lot))]
            begun.append(f"{lot.name} {number}")
            braid = start_of_lot(journal, made[lot.name], "curtain", book.id, lot, number, "braid")
            going_on = read_pieces(journal, book)
            assert next_by_place(journal, book, going_on, accepted=False) == turn
            braid.go_to_stage("dry")
    said = window("hang", "curtain", "--json").json
    assert [place["piece"] for place in said["places"]] == begun
    assert [name for name in begun if name.startswith("Plum")] == ["Plum 1", "Plum 2", "Plum 3"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "has no places to hang at"),
        (("--places", "0:40,0:40"), "place 2 is where place 1 is: 0 along, 40 down"),
        (("--places", "0:40,0:90"), "place 2 is above or below another one: only in a window"),
        (("--places", "40"), "as 120:80; '40' has no height"),
        (("--places", "30:"), "as 120:80; '30:' has no height"),
        (("--places", ":30"), "':30' is nowhere"),
        (("--places", "0:40,10:x"), "how far down takes millimetres from 0 to 100000; found 'x'"),
        (("--shape", "window", "--places", "0:40,0:90,0:40"), "place 3 is where place 1 is"),
        (("--evenly", "5"), "--width of the rail"),
        (("--shape", "hoop", "--places", "0:1"), "a hoop has its diameter_mm"),
        (("--shape", "hoop", "--evenly", "4"), "say the hoop's diameter"),
        (("--evenly", "3", "--width", "0"), "say how wide the rail is"),
        (("--places", "0:40", "--near", "x"), "--near takes a number not below zero"),
        (
            ("--shape", "hoop", "--diameter", "100", "--places", "0:10,400:20"),
            "place 2 is 400 along, beyond the hoop's round of 314",
        ),
        (("--places", "0:40,50:90", "--swap", "1", "9"), "there is no place 9"),
        (("--without", "Eaves"), "has no places to hang at"),
        (("--without", "Pears"), "there is no lot 'Pears'"),
    ],
)
def test_what_cannot_be_is_one_sentence(window: Any, words: tuple[str, ...], says: str) -> None:
    """Status 1 and one sentence."""
    before = (window.home / "commissions" / "curtain.toml").read_text("utf-8")
    said = window("hang", "curtain", *words)
    assert (window.home / "commissions" / "curtain.toml").read_text("utf-8") == before
    assert (said.status, said.err.count("\n")) == (1, 1)
    assert says in said.err
