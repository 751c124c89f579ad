"""Thread: lengths, cuts and spools."""

from __future__ import annotations

import pytest

from bench.craft import thread
from bench.craft.thread import Cut, Hang


def test_a_drop_takes_double_lengths_of_a_metre_and_a_quarter() -> None:
    """The hang, not the braid, decides what a 59 mm drop takes: five metres in all."""
    (double,) = thread.cut(59, strands=8, double_lengths=4)
    assert (double.lengths, double.strands_each, double.cut_mm) == (4, 2, 1250)
    assert double.total_m == 5.0


def test_single_strands_lose_their_knot() -> None:
    """Without double lengths each strand is cut alone, with a knot at its start."""
    (single,) = thread.cut(1000, strands=8, double_lengths=0)
    assert (single.lengths, single.strands_each) == (8, 1)
    assert single.exact_mm == pytest.approx(1.7 * 1000 + 490 + 100)


def test_some_of_each() -> None:
    """Strands that no double length makes are cut as single ones."""
    doubles, singles = thread.cut(100, strands=9, double_lengths=4)
    assert (doubles.lengths, singles.lengths) == (4, 1)


def test_cuts_are_rounded_up_and_never_down() -> None:
    """A cut is the next step up, and a length that is a whole step stays."""
    hang = Hang(100, 100, 60)
    (exact,) = thread.cut(100, strands=1, double_lengths=0, hang=hang, take_up=1.4)
    assert exact.exact_mm == pytest.approx(500)
    assert exact.cut_mm == 500
    (more,) = thread.cut(101, strands=1, double_lengths=0, hang=hang, take_up=1.4)
    assert more.cut_mm == 550


def test_the_hang_is_a_setting() -> None:
    """The hang adds up its parts, none of which is below zero."""
    assert Hang().total_mm == 490
    with pytest.raises(ValueError, match="below zero"):
        Hang(drop_mm=-1)


def test_long_double_lengths_are_flagged() -> None:
    """A rope's double lengths tangle; a drop's do not, nor do single strands."""
    assert thread.too_long_for_doubles(Cut(4, 2, 5000, 5000))
    assert not thread.too_long_for_doubles(Cut(4, 2, 1250, 1250))
    assert not thread.too_long_for_doubles(Cut(8, 1, 5000, 5000))


def test_spools_are_cut_without_knots() -> None:
    """A rest too short for a length is waste, and shorter lengths come out of rests."""
    double, single = Cut(4, 2, 3000, 3000), Cut(4, 1, 1000, 1000)
    assert thread.lengths_from_spool(10, 3000) == 3
    assert thread.spools((double,), pieces=1, spool_m=10) == 2
    assert thread.spools((double, single), pieces=1, spool_m=10) == 2
    assert thread.spools((double, single), pieces=3, spool_m=10) == 5
    with pytest.raises(ValueError, match="no length of 3000 mm"):
        thread.spools((double,), pieces=1, spool_m=2)


def test_nonsense_is_refused() -> None:
    """Impossible fills, take-ups and counts are said."""
    with pytest.raises(ValueError, match="0 to 1"):
        thread.diameter_mm(70, fill=1.2)
    with pytest.raises(ValueError, match="above zero"):
        thread.diameter_mm(0)
    with pytest.raises(ValueError, match="take-up"):
        thread.strand_mm(100, take_up=0.9)
    with pytest.raises(ValueError, match="below zero"):
        thread.strand_mm(-1)
    with pytest.raises(ValueError, match="do not make"):
        thread.cut(100, strands=7, double_lengths=4)
    with pytest.raises(ValueError, match="above zero"):
        thread.lengths_from_spool(10, 0)
