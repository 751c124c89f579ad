"""Colours out of the stock: the nearest that holds out, nothing promised twice, gaps told."""

from __future__ import annotations

from itertools import permutations

from bench.craft.colour import ciede2000, seen
from bench.craft.pattern import ColourChange
from bench.design.colour_run import LayRun, RunColour
from bench.design.colours import ColourAtHand, from_stock, run_at_hand, run_of_colours
from bench.documents.beads_at_hand import beads_at_hand
from bench.documents.stock import Stock, StockBead
from bench.documents.stock_colours import run_in_stock
from tests.support.boards import with_loads

GREYS = [ColourAtHand(f"#{g:02x}{g:02x}{g:02x}", f"grey {g}", 4.0) for g in (10, 90, 150, 230)]


def look(colour: str) -> ColourChange:
    """A colour that is wished for."""
    return ColourChange(colour=colour)


def test_nothing_is_promised_twice() -> None:
    """Two letters want one bead: the one that takes more has it, the other the next nearest."""
    wished = {"a": look("#5a5a5a"), "b": look("#5b5b5b")}
    found = from_stock(wished, {"a": GREYS, "b": GREYS}, {"a": 1.0, "b": 3.5})
    assert found.looks["b"].name == "grey 90"
    assert found.looks["a"].name == "grey 150"
    assert found.off["b"] < found.off["a"]
    both = from_stock(wished, {"a": GREYS, "b": GREYS}, {"a": 1.0, "b": 3.0})
    assert both.looks["a"].name == both.looks["b"].name == "grey 90"


def test_a_letter_for_which_nothing_holds_out_is_a_gap() -> None:
    """It is told, and the others get their beads all the same."""
    wished = {"a": look("#000000"), "b": look("#ffffff"), "c": look("#808080")}
    found = from_stock(wished, {"a": GREYS, "b": GREYS}, {"a": 4.5, "b": 2.0, "c": 1.0})
    assert (found.gaps, sorted(found.looks)) == (("a", "c"), ["b"])


def test_each_wish_takes_the_nearest_by_ciede2000() -> None:
    """Against every other choice, where there is enough of all."""
    wished = {"a": look("#445566"), "b": look("#ddccbb")}
    found = from_stock(wished, {"a": GREYS, "b": GREYS}, {})
    for letter, taken in found.looks.items():
        ours = seen(wished[letter].colour)
        every = {one.colour: ciede2000(ours, seen(one.colour)) for one in GREYS}
        assert every[taken.colour] == min(every.values())


def test_a_run_takes_no_bead_twice() -> None:
    """Each step has its nearest of those that are left; past the last bead there is none."""
    colours = run_of_colours("#000000", "#ffffff", 4)
    found = run_at_hand(colours, GREYS, [1.0] * 4)
    assert [one.name for one in found if one is not None] == [one.name for one in GREYS]
    for shuffled in permutations(GREYS):
        assert run_at_hand(colours, shuffled, [1.0] * 4) == found
    five = run_of_colours("#000000", "#ffffff", 5)
    assert run_at_hand(five, GREYS, [1.0] * 5).count(None) == 1
    assert run_at_hand(colours, GREYS, [9.0] * 4) == (None,) * 4


def test_a_run_takes_beads_that_last_for_their_band() -> None:
    """Two bands of 24 beads 11/0: one gram lasts, a nearer bead with less does not; gaps are told.

    24 beads of the 1,050 that the table has in 10 g weigh 0.23 g.
    """
    sheet = with_loads("bbbbbb")
    wished = LayRun(run=(RunColour(colour="#000000"), RunColour(colour="#ffffff")))
    black = StockBead(size="11/0", name="black", colour="#000000", grams=0.2)
    grey = StockBead(size="11/0", name="grey", colour="#333333", grams=1)
    run, missing = run_in_stock(sheet, wished, ("11/0", "round"), Stock(beads=(black, grey)), 10)
    assert [one.name for one in run.run] == ["grey", "bead"]
    assert missing == "The stock has no 11/0 round with enough left for #ffffff (0.23 g)."
    white = StockBead(size="11/0", name="white", colour="#ffffff", grams=0.25)
    stock = Stock(beads=(black, grey, white))
    run, missing = run_in_stock(sheet, wished, ("11/0", "round"), stock, 10)
    assert ([one.name for one in run.run], missing) == (["grey", "white"], "")
    half = with_loads("bbbaaa")
    run, missing = run_in_stock(half, wished, ("11/0", "round"), stock, 10)
    assert ([one.name for one in run.run], missing) == (["grey", "bead"], "")


def test_what_is_left_of_each_bead_is_listed_by_name() -> None:
    """Tubes and dye lots of one bead together; one without a colour is listed all the same."""
    stock = Stock(
        beads=(
            StockBead(size="11/0", name="sky", colour="#AABBCC", tubes=2, tube_g=5),
            StockBead(size="11/0", name="sky", colour="#aabbcc", lot="7", grams=1.5),
            StockBead(size="11/0", name="odd", grams=3),
            StockBead(size="8/0", name="sky", colour="#aabbcc", grams=9),
            StockBead(size="own", name="mine", grams=3),
        )
    )
    odd, sky = beads_at_hand(stock, "11/0", "round", 10.0)
    assert (odd.name, odd.colour, odd.grams) == ("odd", None, 3.0)
    assert (sky.grams, sky.beads) == (11.5, 1207)
    assert sky.left == "11.5 g, about 1,207 beads"
    (mine,) = beads_at_hand(stock, "own", "round", 10.0)
    assert mine.left == "3.0 g"
