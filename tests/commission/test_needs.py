"""Needs: counts with spare, thread, notions, the stock's gaps, costs and dye lots."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.answers.needs import NeedsAnswer
from bench.commission.buying import BeadWant, LotWant, mid_lot, shared_out
from bench.commission.inspection import Outcomes
from bench.commission.needs import WorkedLot, needs_of
from bench.craft.pattern import Bead
from bench.craft.spare import Spare
from bench.craft.text import Fault
from bench.documents.folders import Entry
from bench.documents.library import Library
from bench.documents.settings import Settings, ThumbRules
from bench.documents.stock import Shelf, Stock, StockBead
from bench.making.calibration import Calibration
from bench.making.worked_pattern import WorkedPattern
from bench.sheets.needs import needs_lines

LIBRARY = Library(Path("nowhere"))
SETTINGS = Settings()
EMPTY = Shelf(Stock(), None)


def order(name: str, pieces: int, size: str | None = None, lot: str = "") -> WorkedLot:
    """So many pieces of a shipped pattern."""
    return WorkedLot(lot or name, WorkedPattern.from_library(LIBRARY, SETTINGS, name, size), pieces)


def needs(*orders: WorkedLot, stock: Stock | None = None) -> NeedsAnswer:
    """What orders take, against a stock."""
    shelf = EMPTY if stock is None else Shelf(stock, Path("stock.toml"))
    return needs_of("Gully", orders, shelf, SETTINGS)


def test_counts_take_in_the_core_and_every_piece() -> None:
    """Ten Silver Eaves: 41, 45, 47 and 24 beads each, and what is lost nineteen times in twenty.

    A tenth of 410 and a twentieth of the others are 46, 24, 25 and 13 lost on the average.
    """
    found = needs(order("silver-eaves", 10))
    counts = {bead.bead: (bead.count, bead.with_spare) for bead in found.beads}
    assert counts == {"a": (410, 468), "b": (450, 482), "c": (470, 503), "d": (240, 259)}
    grams = {bead.bead: bead.grams for bead in found.beads}
    assert grams["a"] == pytest.approx(468 * 10 / 2715, abs=0.01)
    assert grams["c"] == pytest.approx(503 * 10 / 347, abs=0.01)


def test_what_is_thrown_out_divides() -> None:
    """Half of all thrown out, nothing lost: twice as many are had, and some for chance."""
    thrifty = Settings(thumb=ThumbRules(spare_small=0, spare=0, culls=0.5, short=0.5))
    found = needs_of("Gully", [order("silver-eaves", 20)], EMPTY, thrifty)
    assert [bead.with_spare / bead.count for bead in found.beads] == pytest.approx(
        [2] * 4, abs=0.01
    )


def test_a_chance_of_running_short_can_be_set() -> None:
    """Who would run short less often has more beads; the chance is told."""
    few, many = (
        needs_of("G", [order("silver-eaves", 10)], EMPTY, Settings(thumb=ThumbRules(short=chance)))
        for chance in (0.2, 0.01)
    )
    assert all(a.with_spare < b.with_spare for a, b in zip(few.beads, many.beads, strict=True))
    assert "a kind runs short one time in 100" in many.rests_on[0]


def test_the_makers_own_count_is_bought_by() -> None:
    """500 beads to 10 g where the table has 347: fewer grams are bought, as after a weighing."""
    entry = {"size": "8/0", "name": "pale cloud", "per_10_g": 500, "grams": 0, "tube_g": 5}
    stock = Stock.model_validate({"beads": [entry]})
    past = Calibration(weighed=tuple(Shelf(stock, None).weighed(0.1)))
    made = WorkedPattern.from_library(LIBRARY, SETTINGS, "silver-eaves", calibration=past)
    found = needs(WorkedLot("eaves", made, 10), stock=stock)
    (bead,) = (b for b in found.beads if b.bead == "c")
    (bought,) = (b for b in found.buy if b.what == "8/0 pale cloud")
    assert bead.grams == pytest.approx(bead.with_spare * 10 / 500, rel=0.01)
    assert bought.missing == pytest.approx(bead.with_spare * 10 / 500, rel=0.01)


def test_thread_is_cut_for_every_piece() -> None:
    """Four double lengths of 1.25 m a piece; a 50 m spool gives 40 of them."""
    found = needs(order("silver-eaves", 11))
    assert found.thread_m == pytest.approx(55)
    assert found.cut_mm == 1250
    assert found.threads[0].spools == 2
    assert found.lots[0].cuts[0].lengths == 44


def test_rests_of_thread_shorter_than_a_length_serve_for_nothing() -> None:
    """Five metres in rests of one metre are no double length of 1.25 m; one spool is bought."""
    rests = [{"name": "gel-spun 0.13 mm", "metres": 1.0}] * 5
    found = needs(order("silver-eaves", 1), stock=Stock.model_validate({"threads": rests}))
    assert "gel-spun 0.13 mm: 5.0 m short" in found.short
    (thread,) = (item for item in found.buy if item.what == "gel-spun 0.13 mm")
    assert thread.packs == 1
    longer = [{"name": "gel-spun 0.13 mm", "metres": 2.6}, *rests]
    found = needs(order("silver-eaves", 1), stock=Stock.model_validate({"threads": longer}))
    assert "gel-spun 0.13 mm: 2.5 m short" in found.short


def test_one_wire_serves_all_pieces() -> None:
    """The wire is as long as the longest piece asks for, whatever the number of pieces."""
    one, many = needs(order("silver-eaves", 1)), needs(order("silver-eaves", 50))
    assert one.wire_mm == many.wire_mm == 258
    assert needs(order("stair-rope", 1)).wire_mm is None


def test_equal_beads_of_different_lots_are_one_line() -> None:
    """Grey Eaves and grey Pearls share their tubes."""
    found = needs(order("silver-eaves", 2), order("gutter-pearl", 1))
    (grey,) = (bead for bead in found.beads if bead.size == "15/0")
    assert grey.count == 2 * 41 + 44


def test_without_stock_all_is_to_be_bought() -> None:
    """No stock file: a whole shopping list, nothing called short, no price made up."""
    found = needs(order("silver-eaves", 3))
    assert found.stock is None
    assert found.short == ()
    assert found.cost is None
    assert [item.what for item in found.buy][:2] == ["15/0 rain grey", "11/0 wet slate"]
    assert found.buy[-1].what.startswith("end bead")
    assert found.buy[-1].packs == 3


def test_stock_is_taken_off_and_the_rest_priced() -> None:
    """By hand: 470 c with spare are 503 beads, 14.5 g; 10 g at hand, one tube of 5 g to buy."""
    stock = Stock.model_validate(
        {
            "currency": "GBP",
            "beads": [
                {"size": "15/0", "name": "rain grey", "grams": 50},
                {"size": "11/0", "name": "wet slate", "grams": 50},
                {"size": "8/0", "name": "pale cloud", "tubes": 2, "tube_g": 5, "price": 2.5},
                {"size": "6/0", "name": "clear drop", "grams": 50},
            ],
            "threads": [{"name": "gel-spun 0.13 mm", "spools": 1, "spool_m": 50}],
            "wires": [{"metres": 3}],
            "notions": [{"name": "end bead, hole 1.0 mm or more", "count": 8, "price": 0.4}],
        }
    )
    found = needs(order("silver-eaves", 10), stock=stock)
    assert found.short == ("8/0 pale cloud: 4.5 g short", "end bead, hole 1.0 mm or more: 2 short")
    assert [(b.packs, b.price) for b in found.buy] == [(1, 2.5), (2, 0.8)]
    assert found.cost is not None
    assert (found.cost.amount, found.cost.currency, found.cost.complete) == (3.3, "GBP", True)


def test_a_price_is_that_of_the_pack_it_was_paid_for() -> None:
    """Two tubes and two spools in stock, one of each priced: that one is bought, at its size."""
    stock = Stock.model_validate(
        {
            "beads": [
                {"size": "8/0", "name": "pale cloud", "lot": "1", "tube_g": 5},
                {"size": "8/0", "name": "pale cloud", "lot": "2", "tube_g": 50, "price": 20},
            ],
            "threads": [
                {"name": "gel-spun 0.13 mm", "spool_m": 25},
                {"name": "gel-spun 0.13 mm", "spool_m": 100, "price": 9},
            ],
        }
    )
    bought = {
        b.what: (b.packs, b.pack, b.price)
        for b in needs(order("silver-eaves", 10), stock=stock).buy
    }
    assert bought["8/0 pale cloud"] == (1, "tube of 50 g", 20)
    assert bought["gel-spun 0.13 mm"] == (1, "spool of 100 m", 9)


def two_greys(**colours: str) -> tuple[BeadWant, BeadWant]:
    """Two kinds of 8/0 called ground, 100 of each at 0.1 g; colours by their letters."""
    one, two = (
        BeadWant(
            x, Bead(size="8/0", name="ground", colour=c), 0.1, Spare(0), (LotWant("l", 1, 100),), ()
        )
        for x, c in colours.items()
    )
    return one, two


@settings(max_examples=100)
@given(
    held=st.lists(
        st.tuples(st.integers(0, 30), st.sampled_from(["#aaaaaa", "#bbbbbb", None])), max_size=4
    )
)
def test_no_gram_is_promised_to_two_kinds_of_bead(held: list[tuple[int, str | None]]) -> None:
    """Beads of like name share the stock: together they are given what is there, and no more."""
    entries = tuple(
        StockBead(size="8/0", name="Ground ", colour=colour, grams=grams) for grams, colour in held
    )
    wants = [
        replace(want, entries=Stock(beads=entries).matching(want.bead))
        for want in two_greys(a="#aaaaaa", b="#bbbbbb")
    ]
    given = [[e.grams for e in want.entries] for want in shared_out(wants, 10)]
    assert sum(map(sum, given)) == pytest.approx(sum(grams for grams, _ in held))
    if sum(grams for grams, _ in held) >= 20:
        assert all(sum(one) >= 10 - 1e-9 for one in given)


def test_a_tube_goes_first_to_the_bead_of_its_own_colour() -> None:
    """Of two greys of one name, that of the tube's colour takes what it needs first."""
    tube = StockBead(size="8/0", name="ground", colour="#bbbbbb", tubes=1, tube_g=12)
    wants = [replace(want, entries=(tube,)) for want in two_greys(a="#aaaaaa", b="#bbbbbb")]
    grams = [want.entries[0].grams for want in shared_out(wants, 10)]
    assert grams == [pytest.approx(2), pytest.approx(10)]


def test_notions_match_whatever_their_capitals_and_spaces() -> None:
    """'End  bead, ...' in the stock is the end bead that is needed; two entries add up."""
    name = " End  bead, hole 1.0 mm or more"
    stock = Stock.model_validate(
        {"notions": [{"name": name, "count": 6}, {"name": name.lower().strip(), "count": 3}]}
    )
    found = needs(order("silver-eaves", 10), stock=stock)
    assert "end bead, hole 1.0 mm or more: 1 short" in found.short


def test_a_full_stock_buys_nothing() -> None:
    """Where all is at hand, nothing is short."""
    beads = [
        {"size": size, "name": name, "grams": 500}
        for size, name in (
            ("15/0", "rain grey"), ("11/0", "wet slate"), ("8/0", "pale cloud"),
            ("6/0", "clear drop"),
        )
    ]  # fmt: skip
    stock = Stock.model_validate(
        {
            "beads": beads,
            "threads": [{"name": "gel-spun 0.13 mm", "metres": 99}],
            "wires": [{"metres": 1}],
            "notions": [{"name": "end bead, hole 1.0 mm or more", "count": 99}],
        }
    )
    found = needs(order("silver-eaves", 10), stock=stock)
    assert (found.short, found.buy, found.warnings) == ((), (), ())


def test_a_cut_longer_than_a_spool_is_said() -> None:
    """A spool that does not give one length is not counted by the dozen."""
    short = Settings(thumb=ThumbRules(spool_m=1.0))
    found = needs_of("Gully", [order("silver-eaves", 1)], EMPTY, short)
    (thread,) = (item for item in found.buy if item.unit == "m" and "gel-spun" in item.what)
    assert thread.pack == "spool of 1.2 m or more"


@pytest.mark.parametrize("entry", LIBRARY.patterns(), ids=lambda entry: entry.name)
def test_shipped_patterns_need_no_warning(entry: Entry) -> None:
    """Every shipped pattern, in every size, passes without a warning."""
    name = entry.name
    for size in (None, *LIBRARY.plan(LIBRARY.pattern_path(name)).pattern.sizes):
        assert needs(order(name, 3, size)).warnings == ()


def test_less_than_one_piece_is_refused() -> None:
    """No order and no piece have no needs."""
    with pytest.raises(Fault, match="at least one piece"):
        needs()
    with pytest.raises(Fault, match="at least one piece"):
        needs(order("silver-eaves", 0))


def want(each: list[tuple[int, int]], dye_lots: list[float], spare: float = 0.0) -> BeadWant:
    """A bead of 0.1 g for lots of (pieces, each), with dye lots of so many beads."""
    return BeadWant(
        "a",
        Bead(size="8/0", name="ground"),
        0.1,
        Spare(spare),
        tuple(LotWant(f"lot {i}", pieces, n) for i, (pieces, n) in enumerate(each)),
        tuple(
            StockBead(size="8/0", name="ground", lot=f"D{i}", grams=beads / 10)
            for i, beads in enumerate(dye_lots)
        ),
    )


def warned(one: BeadWant) -> list[str]:
    """What is said of a bead's dye lots."""
    return list(mid_lot([one], SETTINGS))


def test_a_dye_lot_that_runs_out_in_a_lot_is_said() -> None:
    """100 beads and 100 beads for 10 pieces of 16: the first lasts for 6."""
    (warning,) = warned(want([(10, 16)], [100, 100]))
    assert "8/0 ground: dye lot D0 runs out in lot 'lot 0' after piece 6 of 10" in warning
    assert warned(want([(5, 16), (5, 16)], [100, 100])) == []
    assert warned(want([(10, 16)], [160])) == []


def test_a_lot_whose_dye_lot_is_used_up_is_told_where_it_goes_on() -> None:
    """Nothing runs out: what it still takes is there, in another dye lot."""
    one = want([(10, 16)], [181])
    one = replace(one, lots=(replace(one.lots[0], begun="P11"),))
    (warning,) = warned(one)
    assert "begun with dye lot P11, of which 0 are left" in warning
    assert "comes from dye lot D0: look whether they match" in warning


def test_dye_lots_by_a_rule_are_told_as_that() -> None:
    """Thirteen lots are shared out by a rule: how many mix, and how few could."""
    lots = [order("silver-eaves", 1, lot=f"lot {i}") for i in range(13)]
    stock = Stock(beads=(StockBead(size="6/0", name="clear drop", grams=100, per_10_g=150),))
    found = needs_of("Many", lots, replace(EMPTY, stock=stock), SETTINGS)
    (said,) = (line for line in found.rests_on if line.startswith("dye lots of 6/0 clear drop"))
    assert "0 mix, and no way mixes fewer than 0" in said
    assert needs_of("Many", lots, EMPTY, SETTINGS, to_make=False).short == ()


def test_a_rest_that_does_not_last_for_one_piece_is_said_so() -> None:
    """Ten beads for pieces of 16: no piece is counted as done before they run out."""
    (warning,) = warned(want([(6, 16)], [10]))
    assert "runs out in lot 'lot 0' within its first piece (10 for 96);" in warning


def test_tubes_of_one_dye_lot_are_one() -> None:
    """Two tubes with the same dye lot serve a lot together."""
    one = want([(10, 16)], [100, 100])
    alike = tuple(entry.model_copy(update={"lot": "D9"}) for entry in one.entries)
    same = BeadWant(one.letter, one.bead, one.mass_g, one.spare, one.lots, alike)
    assert warned(same) == []


@settings(max_examples=150)
@given(
    lots=st.lists(st.integers(1, 12), min_size=1, max_size=4),
    dyes=st.lists(st.integers(0, 40), min_size=1, max_size=4),
)
def test_silence_means_that_each_lot_has_one_dye_lot(lots: list[int], dyes: list[int]) -> None:
    """Without a warning some way to give every lot one dye lot exists, found by trying all.

    Where the stock is too small, silence means that it ends with a lot, whichever go without.
    """
    one = want([(1, n) for n in lots], [float(d) for d in dyes])
    if warned(one):
        return
    if sum(dyes) < sum(lots):
        served = (c for n in range(len(lots) + 1) for c in itertools.combinations(lots, n))
        assert sum(dyes) in [sum(some) for some in served]
        return
    ways = itertools.product(range(len(dyes)), repeat=len(lots))
    assert any(
        all(
            sum(n for n, at in zip(lots, way, strict=True) if at == dye) <= held
            for dye, held in enumerate(dyes)
        )
        for way in ways
    )


def test_grams_follow_what_was_weighed() -> None:
    """A weighing noted in the stock moves the mass of that bead, and of no other."""
    stock = Stock.model_validate(
        {"beads": [{"size": "8/0", "name": "pale cloud", "weighed_beads": 50, "weighed_g": 1.8}]}
    )
    past = Calibration(weighed=tuple(Shelf(stock, None).weighed(0.1)))
    made = WorkedPattern.from_library(LIBRARY, SETTINGS, "silver-eaves", calibration=past)
    before = {b.bead: b.grams for b in needs(order("silver-eaves", 10)).beads}
    after = {b.bead: b.grams for b in needs(WorkedLot("eaves", made, 10), stock=stock).beads}
    assert after["c"] > before["c"] * 1.15
    assert after["d"] == before["d"]
    assert math.isclose(after["a"], before["a"])


def test_what_to_buy_stands_first() -> None:
    """The shopping list opens with what to buy; a run of many lots names no letters."""
    one = needs_lines(needs(order("silver-eaves", 2)))
    heads = [line[:11].strip() for line in one if line[:11].strip()]
    assert heads.index("BUY") < heads.index("BEADS")
    assert any(line.startswith("  a  ") for line in one)
    many = needs_lines(needs(order("silver-eaves", 2), order("gutter-pearl", 1)))
    assert not any(line.startswith("  a  ") for line in many)
    assert all(len(line) <= 80 for line in many)


def test_a_dye_lot_lasts_for_what_is_lost_too() -> None:
    """A hundred and ten beads for ten pieces of ten, a tenth lost: one piece is short of beads."""
    (warning,) = warned(want([(10, 10)], [110], spare=0.1))
    assert "after piece 9 of 10" in warning
    assert warned(want([(10, 10)], [120], spare=0.1)) == []


def test_a_first_piece_that_was_spoilt_stops_no_needs() -> None:
    """Where no piece came out as it should yet, that is told, and the counts stand."""
    lots = [order("silver-eaves", 10)]
    found = needs_of("G", lots, EMPTY, SETTINGS, Outcomes(0, 1))
    assert found.beads == needs(*lots).beads
    assert "none of your 1 came out as it should yet" in found.rests_on[-1]
    assert "reckon with" in needs_of("G", lots, EMPTY, SETTINGS, Outcomes(3, 1)).rests_on[-1]
