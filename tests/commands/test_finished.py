"""`finished` and `pack --to-stock`: finished pieces that leave an order, and leave the stock."""

from __future__ import annotations

from typing import Any

import pytest

from bench.commission.finished_stock import put_back
from bench.commission.lot_refs import given_anew
from bench.journal.store import Journal
from bench.making.braid import Braid
from bench.making.braid_written import NotNow
from tests.support.curtain import begun_curtain


@pytest.fixture
def lowered(call: Any) -> Any:
    """Seven plum drops are made, numbered by hand; the order needs six of them now."""
    call.home.mkdir()
    begun_curtain(call.home)
    call("commission", "curtain", "--lot", "Plum", "--pieces", "6", "--made-more", "stock")
    return call


def stands(call: Any) -> list[tuple[str, str | None, str | None]]:
    """The one state of each piece of the finished stock, how it left, and for how much."""
    pieces = call("finished", "--json").json["pieces"]
    return [(piece["status"], piece["how"], piece["price"]) for piece in pieces]


def ids(call: Any) -> list[str]:
    """The beginnings of the ids of the pieces in stock."""
    return [piece["piece"][:8] for piece in call("finished", "--json").json["pieces"]]


def plum(call: Any) -> dict[str, int]:
    """How many pieces of the first lot are in each state."""
    counts: dict[str, int] = call("pack", "curtain", "--json").json["lots"][0]["counts"]
    return counts


def test_what_a_lowered_count_left_is_sold_and_is_no_part_of_the_order(lowered: Any) -> None:
    """It leaves its lot with the sale; what is due stays, and what it brought is told apart."""
    lowered("offer", "curtain", "--accept")
    due = lowered("account", "curtain", "--json").json["due"]
    assert stands(lowered) == [("made", None, None)]
    (piece,) = lowered("finished", "--json").json["pieces"]
    assert (piece["came_from"], piece["beyond"]) == ("Plum of curtain", True)
    said = lowered(
        "finished", ids(lowered)[0], "--sold", "27.50", "--on", "2024-02-03", "--json"
    ).json
    assert (said["in_stock"], said["brought"]) == (0, ["27.50 EUR"])
    assert stands(lowered) == [("delivered", "sold", "27.50")]
    assert plum(lowered) == {"made": 6}
    assert lowered("account", "curtain", "--json").json["due"] == due
    assert lowered("closing", "curtain", "--json").json["due"] == due
    told = lowered("closing", "curtain").out
    assert "1 piece went to finished stock" in " ".join(told.split())
    assert "27.50 EUR" in told
    out = " ".join(lowered("finished").out.split())
    assert "sold for 27.50 EUR on 2024-02-03" in out
    assert "no part of any order's sum" in out
    (left,) = lowered("pack", "curtain", "--json").json["stock"]
    assert (left["status"], left["how"], left["price"]) == ("delivered", "sold", "27.50")
    assert "was Plum of curtain: sold for 27.50 EUR" in " ".join(
        lowered("pack", "curtain").out.split()
    )
    lowered("finished", ids(lowered)[0], "--undo")
    assert stands(lowered) == [("made", None, None)]
    assert lowered("finished", "--json").json["brought"] == []


def test_lent_and_back_given_away_and_lost(lowered: Any) -> None:
    """Each is one event that can be taken back; a loan keeps what it brought once it is back."""
    lowered("pack", "curtain", "Plum", "--to-stock")
    assert plum(lowered) == {"planned": 6}
    first, second, third, fourth, *_ = ids(lowered)
    lowered("finished", first, "--lent", "5")
    lowered("finished", second, "--given-away")
    lowered("finished", third, "--lost")
    lowered("inspect", "curtain", "--piece", "Plum")
    assert sorted(stands(lowered), key=str)[:3] == [
        ("delivered", "given away", None), ("delivered", "lent", "5.00"),
        ("given up", "lost", None),
    ]  # fmt: skip
    lowered("finished", first, third, "--back")
    lowered("finished", second, "--undo")
    assert {how for _, how, _ in stands(lowered)} == {None}
    assert lowered("finished", "--json").json["brought"] == ["5.00 EUR"]
    for words, says in (
        ((first, "--back"), "is in stock"),
        ((first, "--sold", "0"), "--sold takes an amount"),
        (("nothing", "--lost"), "there is no piece 'nothing' in stock"),
        (("--lost",), "say which pieces"),
        ((fourth,), "say what becomes of it"),
        ((fourth, "--sold", "30,50"), "write 30.50, not 30,50"),
    ):
        refused = lowered("finished", *words)
        assert (refused.status, refused.err.count("\n")) == (1, 1)
        assert says in refused.err
    lowered("finished", fourth, "--lost")
    refused = lowered("pack", "curtain", fourth, "--into", "Eaves")
    assert (refused.status, "is lost; it cannot be put into a lot" in refused.err) == (1, True)


def test_no_number_is_given_twice_after_a_piece_has_left(lowered: Any) -> None:
    """A piece put out of its lot keeps its number there; put in again it gets the next one."""
    piece = ids(lowered)[0]
    done = lowered("pack", "curtain", piece, "--into", "Eaves", "--json").json["done"]
    assert done == ["put into Eaves: 1", "out of Plum of curtain: 1"]
    assert lowered("pack", "curtain", "--json").json["pieces"][-1]["name"] == "Eaves 1"
    lowered("pack", "curtain", "Eaves 1", "--to-stock")
    (stock, *_) = lowered("finished", "--json").json["pieces"]
    assert (stock["came_from"], stock["name"]) == ("Eaves 1 of curtain", "Silver Eaves")
    lowered("pack", "curtain", piece, "--into", "Eaves")
    assert lowered("pack", "curtain", "--json").json["pieces"][-1]["name"] == "Eaves 2"
    lowered("pack", "curtain", "Eaves 2", "--to-stock")
    lowered("finished", "Eaves 2 of curtain", "--given-away")
    assert lowered("forecast", "curtain", "--json").json["lots"][1]["to_make"] == 16
    lowered("commission", "curtain", "--lot", "Plum", "--pieces", "5", "--made-more", "stock")
    assert stands(lowered)[0] == ("made", None, None), "one more went to stock"


def test_put_back_into_its_lot_it_has_the_number_that_it_had(lowered: Any) -> None:
    """And nobody is told to change a tag; what is sold is not taken in hand."""
    piece = ids(lowered)[0]
    lowered("pack", "curtain", piece, "--into", "Eaves")
    lowered("pack", "curtain", "Eaves 1", "--to-stock")
    with Journal.open(lowered.home / "journal.db", write=True) as journal:
        state = next(s for s in journal.pieces(open_only=False) if s.uuid.startswith(piece))
        said, lot = put_back(state)
        journal.append(said, pieces=state.uuid, lot=lot)
        assert not given_anew(journal)
    assert lowered("pack", "curtain", "--json").json["pieces"][-1]["name"] == "Eaves 1"
    lowered("pack", "curtain", "Eaves 1", "--to-stock")
    lowered("finished", piece, "--sold", "9")
    with (
        Journal.open(lowered.home / "journal.db", write=True) as journal,
        pytest.raises(NotNow, match="left the stock"),
    ):
        Braid(journal, state.uuid).reopen()


def test_what_a_cancelled_order_had_made_can_be_sold(lowered: Any) -> None:
    """All of it that is still here, what lies in trays too, and the sample."""
    first, second, *_ = (p["piece"] for p in lowered("pack", "curtain", "--json").json["pieces"])
    lowered("inspect", "curtain", "--piece", first[:8], "--good", "--sample")
    lowered("pack", "curtain", second[:8], "--tray", "A")
    lowered("commission", "curtain", "--cancel", "--made-more", "stock")
    assert lowered("finished", "--json").json["in_stock"] == 7
    lowered("finished", second[:8], "--sold", "20")
    assert lowered("finished", "--json").json["brought"] == ["20.00 EUR"]


def test_the_sample_stays_in_its_lot(lowered: Any) -> None:
    """Pieces are held against it, so it is not put into stock."""
    piece = lowered("inspect", "curtain", "--json").json["pieces"][0]["piece"]
    lowered("inspect", "curtain", "--piece", piece[:8], "--good", "--sample")
    refused = lowered("pack", "curtain", piece[:8], "--to-stock")
    assert (refused.status, "is the sample" in refused.err) == (1, True)
