"""Pieces belong to lots by ids, whatever lots and orders are called, at one bench and at two."""

from __future__ import annotations

import pytest

from bench.commission.lot_refs import LotRef, LotRefs
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
        assert own[first, "silv-lot"] == {mine}
        two.take_in(one)
        assert two.pieces()[second, f"{pattern[:4]}-lot"] == its


@pytest.mark.parametrize("older", [False, True])
def test_a_renamed_lot_of_a_renamed_order_keeps_its_pieces(benches: Benches, older: bool) -> None:
    """The order's file and the lot have new names, and another lot has the old one."""
    one, _ = benches
    order = one.begin("hall", "silver-eaves")
    piece = one.make("hall", "Lot 1", older=older)
    one.change("hall", "Lot 1", name="Eaves")
    one.change("hall", "Lot 1", pattern="cistern", pieces=2)
    folder = one.library.home / "commissions"
    (folder / "hall.toml").rename(folder / "stair.toml")
    book = one.book("stair")
    assert one.pieces()[order, "silv-lot"] == {piece}
    assert not one.pieces()[order, book.commission.lot("Lot 1").id or ""]


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
    assert one.pieces()[second, "silv-lot"] == {again}
    state = one.journal.state(piece)
    assert LotRefs(one.journal, {}).of(state) == LotRef(first, "silv-lot")
