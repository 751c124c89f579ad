"""Orders of another bench, and what the file of an order says beside the versions of it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.commission.book import MadeMore, keep
from bench.commission.changing import with_lot, with_values, without_lot
from bench.commission.identity import customer_id
from bench.commission.lot_number import Settled
from bench.commission.versions import differences
from bench.craft.text import Fault
from bench.journal.commission_payloads import CustomerNamed
from bench.journal.standing import KeptVersion, standing
from tests.support.two_benches import DAY, Benches


def test_an_order_is_offered_though_its_name_has_a_file(benches: Benches) -> None:
    """By its id it is another one: it comes under a free name, also beside a second of its name."""
    one, two = benches
    ids = {one.begin("hall", "cistern"), two.begin("hall", "silver-eaves")}
    (two.library.home / "commissions" / "hall.toml").unlink()
    ids.add(two.begin("hall", "silver-eaves"))
    one.take_in(two)
    assert one.take_orders() == ["hall-2", "hall-3"]
    assert one.take_orders() == []
    assert {one.book(name).id for name in ("hall", "hall-2", "hall-3")} == ids


def test_of_a_file_that_cannot_be_read_the_name_has_to_do(benches: Benches) -> None:
    """A slip of the editor does not make the maker's own order one of another bench."""
    one, _ = benches
    one.begin("hall", "cistern")
    one.by_hand("hall", "pieces = 3", "pieces = ")
    assert one.take_orders() == []


def test_for_whom_an_order_is_comes_with_it_where_it_was_given(benches: Benches) -> None:
    """The customer's name is an event of its own; without it the file names nobody."""
    one, two = benches
    order = two.begin("hall", "cistern")
    two.journal.append(CustomerNamed(order, "the second door"), pieces=customer_id(order))
    one.take_in(two, customers=True)
    one.take_orders()
    assert one.book("hall").commission.whom == "the second door"


def test_what_is_set_back_by_hand_is_a_change_of_that_day(benches: Benches) -> None:
    """The file says again what it said before a change in the app: that is no older file."""
    one, _ = benches
    one.begin("hall", "cistern")
    one.change("hall", "Lot 1", pieces=5)
    one.by_hand("hall", "pieces = 5", "pieces = 3")
    book = one.book("hall")
    assert (book.changed_by_file, book.elsewhere) == (True, ())
    one.journal.append_many(book.first(DAY))
    sources = [(v.source, v.commission.lots[0].pieces) for v in one.book("hall").history.versions]
    assert sources == [("app", 3), ("app", 5), ("file", 3)]
    assert not one.book("hall").changed_by_file


def test_a_file_is_behind_where_another_bench_went_on(benches: Benches) -> None:
    """It is told and nothing is written; set back by hand as well, both stand beside each other."""
    one, two = benches
    one.begin("hall", "cistern")
    one.change("hall", "Lot 1", pieces=5)
    two.take_in(one)
    two.take_orders()
    two.change("hall", "Lot 1", pieces=6)
    one.take_in(two)
    behind = one.book("hall")
    assert not behind.changed_by_file
    assert [v.commission.lots[0].pieces for v in behind.elsewhere] == [6]
    one.by_hand("hall", "pieces = 5", "pieces = 3")
    both = one.book("hall")
    assert both.changed_by_file
    assert [v.commission.lots[0].pieces for v in both.elsewhere] == [6]
    one.journal.append_many(both.first(DAY))
    standing = [v.commission.lots[0].pieces for v in one.book("hall").history.apart]
    assert sorted(standing) == [3, 6]
    one.change("hall", "Lot 1", pieces=7)
    assert [v.commission.lots[0].pieces for v in one.book("hall").history.heads] == [7]


def test_what_another_bench_has_settled_is_not_asked_again(benches: Benches) -> None:
    """It lowered a count below what is made and charged it: taken over, that holds here too."""
    one, two = benches
    order = one.begin("hall", "cistern")
    for _ in range(2):
        one.make("hall", "Lot 1")
    two.take_in(one)
    two.take_orders()
    book = two.book("hall")
    fewer = with_lot(book.commission, "Lot 1", {"pieces": 1})
    two.journal.append_many(keep(book, fewer, DAY, made_more_goes="charged"))
    one.take_in(two)
    behind = one.book("hall")
    one.journal.append_many(keep(behind, behind.elsewhere[0].commission, DAY))
    now = one.book("hall")
    assert now.history.settled(now.commission)["cist-lot"] == Settled(charged=1)
    assert (now.id, now.elsewhere) == (order, ())
    one.make("hall", "Lot 1")
    two.take_in(one)
    known = two.book("hall")
    other = with_lot(known.commission, "Lot 2", {"pattern": "cistern", "pieces": 1})
    without = without_lot(other, "Lot 1")
    with pytest.raises(MadeMore):
        keep(known, without, DAY)


def test_to_take_over_a_version_is_no_change_of_ones_own(benches: Benches) -> None:
    """The bench that changed it goes on: the other is behind, and no one is told of two changes."""
    one, two = benches
    one.begin("hall", "cistern")
    two.take_in(one)
    two.take_orders()
    two.change("hall", "Lot 1", pieces=4)
    one.take_in(two)
    book = one.book("hall")
    one.journal.append_many(keep(book, book.elsewhere[0].commission, DAY))
    two.change("hall", "Lot 1", pieces=5)
    assert one.take_in(two) == two.take_in(one) == ()
    behind = one.book("hall")
    assert [v.commission.lots[0].pieces for v in behind.history.heads] == [5]
    assert [v.commission.lots[0].pieces for v in behind.elsewhere] == [5]
    assert not two.book("hall").elsewhere


@pytest.mark.parametrize(
    ("versions", "stand"),
    [
        ("a:1 b<a:2 c<b:2 d<b:3", "d"),
        ("a:1 b<a:2 c<b:2", "c"),
        ("a:1 b<a:2 c<b:2 d<c:3 e<b:4", "d e"),
        ("a:1 b<a:2 c<a:3 d<b<c:3 e<c:4", "d e"),
        ("o:0 a<o:1 b<o:2 x<a<b:1 y<a<b:2", "x y"),
        ("a:1 b<a:2 c<b:2+ d<b:3", "c d"),
        ("a<b:1 b<a:1", ""),
    ],
)
def test_which_versions_stand(versions: str, stand: str) -> None:
    """`d<b<c:3+` follows b and c, says 3, and what becomes of pieces besides."""
    kept = []
    for word in versions.split():
        (event, *over), said = word.split(":")[0].split("<"), word.split(":")[1]
        kept.append(KeptVersion(event, tuple(over), said.rstrip("+"), said.endswith("+")))
    assert " ".join(standing(kept)) == stand


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.tuples(st.sets(st.integers(0, 9), max_size=3), st.integers(0, 2), st.booleans()),
        min_size=1,
        max_size=10,
    )
)
def test_of_any_versions_one_stands(said: list[tuple[set[int], int, bool]]) -> None:
    """Whatever follows and repeats whatever, and in any order of arrival the same ones stand."""
    kept = [
        KeptVersion(
            str(at), tuple(str(before) for before in sorted(over) if before < at), content, adds
        )
        for at, (over, content, adds) in enumerate(said)
    ]
    assert set(standing(kept))
    assert set(standing(kept)) == set(standing(kept[::-1]))


def test_two_that_took_over_each_others_change_are_told(benches: Benches) -> None:
    """Both chose the other's version: both stand, neither bench is left without a word."""
    one, two = benches
    one.begin("hall", "cistern")
    two.take_in(one)
    two.take_orders()
    one.change("hall", "Lot 1", pieces=6)
    two.change("hall", "Lot 1", pieces=20)
    one.take_in(two)
    two.take_in(one)
    for bench in benches:
        book = bench.book("hall")
        bench.journal.append_many(keep(book, book.elsewhere[0].commission, DAY))
    one.take_in(two)
    two.take_in(one)
    for bench, other in ((one, 6), (two, 20)):
        assert [v.commission.lots[0].pieces for v in bench.book("hall").elsewhere] == [other]


def test_another_pattern_of_another_bench_is_taken_over_pieces_or_not(benches: Benches) -> None:
    """That bench knew of no pieces; here such a change is refused, but not where it was decided."""
    one, two = benches
    one.begin("hall", "cistern")
    two.take_in(one)
    two.take_orders()
    two.change("hall", "Lot 1", pattern="silver-eaves")
    one.make("hall", "Lot 1")
    one.take_in(two)
    book = one.book("hall")
    other = with_lot(book.commission, "Lot 1", {"pattern": "downpipe"})
    with pytest.raises(Fault, match="is another lot"):
        keep(book, other, DAY)
    one.journal.append_many(keep(book, book.elsewhere[0].commission, DAY))
    now = one.book("hall")
    assert (now.elsewhere, now.made["cist-lot"]) == ((), 1)


def test_places_to_hang_at_are_told_as_a_change(benches: Benches) -> None:
    """Their number and what they are on; where both are the same, that they are others."""
    one, _ = benches
    one.begin("hall", "cistern")
    bare = one.book("hall").commission
    rail = with_values(bare, hanging={"places": [(0, 100), (50, 100)]})
    lower = with_values(bare, hanging={"places": [(0, 100), (50, 120)]})
    assert [*differences(bare, rail)] == ["places to hang at: 2 on a rail, in place of none"]
    assert [*differences(rail, lower)] == ["places to hang at: 2 on a rail, hung another way"]
