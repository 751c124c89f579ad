"""Pieces belong to lots by ids, whatever lots and orders are called, at one bench and at two."""

from __future__ import annotations

import pytest

from bench.commission.book import book_of
from bench.commission.lot_number import numbers_apart
from bench.commission.lot_refs import LotRef, LotRefs, given_anew, told_anew
from tests.support.two_benches import Benches


@pytest.mark.parametrize("older", [False, True])
def test_orders_of_one_name_keep_their_own_pieces(benches: Benches, older: bool) -> None:
    """Two benches have an order and a lot of one name: after a merge each has what it made.

    So it is of pieces of one kind, and where no event gives an id.
    """
    one, two = benches
    for pattern, name in (("silver-eaves", "hall"), ("cistern", "porch")):
        first, second = one.begin(name, "silver-eaves"), two.begin(name, pattern)
        mine = one.make(name, "Lot 1", older=older)
        its = {two.make(name, "Lot 1", older=older) for _ in range(2)}
        one.take_in(two)
        own = one.pieces()
        assert set(own[first, "silv-lot"]) == {mine}
        two.take_in(one)
        assert set(two.pieces()[second, f"{pattern[:4]}-lot"]) == its


@pytest.mark.parametrize("older", [False, True])
def test_a_renamed_lot_of_a_renamed_order_keeps_its_pieces(benches: Benches, older: bool) -> None:
    """The order's file and the lot have new names, and another lot has the old one."""
    one, _ = benches
    order = one.begin("hall", "silver-eaves")
    piece = one.make("hall", "Lot 1", older=older)
    one.change("hall", "Lot 1", name="Eaves")
    one.change("hall", "Lot 1", pattern="silver-eaves", pieces=2)
    other = one.make("hall", "Lot 1", older=older)
    folder = one.library.home / "commissions"
    (folder / "hall.toml").rename(folder / "stair.toml")
    book = one.book("stair")
    assert one.pieces()[order, "silv-lot"] == {piece: 1}
    found = book_of(one.library, one.journal, one.journal.state(piece))
    assert found is not None
    assert found.name == "stair"
    assert one.pieces()[order, book.commission.lot("Lot 1").id or ""] == {other: 1}


@pytest.mark.parametrize("older", [False, True])
def test_a_name_given_again_takes_no_piece_of_the_order_that_had_it(
    benches: Benches, older: bool
) -> None:
    """The first order's file is removed, and another order begun under its name."""
    one, _ = benches
    first = one.begin("hall", "silver-eaves")
    piece = one.make("hall", "Lot 1", older=older)
    (one.library.home / "commissions" / "hall.toml").unlink()
    second = one.begin("hall", "silver-eaves")
    again = one.make("hall", "Lot 1", older=older)
    assert one.pieces()[second, "silv-lot"] == {again: 1}
    state = one.journal.state(piece)
    assert LotRefs(one.journal, {}).of(state) == LotRef(first, "silv-lot")


def test_a_number_that_two_benches_gave_is_that_of_one_piece(benches: Benches) -> None:
    """After a merge the other piece has the next one, at both benches; it is told, and once."""
    one, two = benches
    order = one.begin("hall", "cistern", pieces=4)
    one.make("hall", "Lot 1")
    two.take_in(one)
    two.take_orders()
    pieces = [bench.make("hall", "Lot 1") for bench in benches]
    before = given_anew(one.journal)
    assert not before
    for bench, other in ((one, two), (two, one)):
        bench.take_in(other)
    own = [bench.pieces()[order, "cist-lot"] for bench in benches]
    assert own[0] == own[1]
    assert {own[0][piece] for piece in pieces} == {2, 3}
    told = given_anew(one.journal)
    (said,) = told_anew(before, told)
    assert said.startswith("there are two Lot 1 2 of 'hall': the one begun ")
    assert said.endswith(" is Lot 1 3 now; change its tag")
    assert not list(told_anew(told, given_anew(one.journal)))
    assert one.book("hall").commission.lot("Lot 1").pieces == 4
    third = one.make("hall", "Lot 1")
    assert one.pieces()[order, "cist-lot"] == {**own[0], third: 4}


@pytest.mark.parametrize(
    ("given", "apart"),
    [
        ([1, 2, 3], [1, 2, 3]),
        ([2, 2, 3], [2, 4, 3]),
        ([1, 1, 1, 4], [1, 2, 3, 4]),
        ([None, 1, None], [None, 1, None]),
    ],
)
def test_numbers_apart(given: list[int | None], apart: list[int | None]) -> None:
    """Of equal numbers the first is kept, the others are the next ones that none was given."""
    pieces = {f"p{place}": number for place, number in enumerate(given)}
    assert numbers_apart(pieces) == dict(zip(pieces, apart, strict=True))
