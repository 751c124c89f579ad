"""Needles and ends: advice that says what it rests on."""

from __future__ import annotations

import pytest

from bench.craft import needles


def test_thicker_needles_come_first_and_only_one_is_confirmed() -> None:
    """Needles are listed from the thickest; only no. 10 was found printed."""
    for end in ("least_mm", "most_mm"):
        diameters = [getattr(needle, end) for needle in needles.NEEDLES]
        assert diameters == sorted(diameters, reverse=True)
    assert all(needle.least_mm <= needle.most_mm for needle in needles.NEEDLES)
    assert [needle.number for needle in needles.NEEDLES if needle.confirmed] == [10]


def test_more_passes_take_a_finer_needle_until_none_will_do() -> None:
    """The needle gets finer with each pass; in the end none is fine enough, and that is said."""
    advice = [needles.needle_for(0.7, 0.13, times) for times in range(1, 12)]
    found = [a.needle.most_mm for a in advice if a.needle]
    assert found == sorted(found, reverse=True)
    assert advice[-1].needle is None
    assert advice[-1].says.startswith("no needle is sure to take 0.13 mm thread 11 times")
    assert advice[-1].passes < 11


def test_advice_says_what_it_rests_on() -> None:
    """A needle from memory is called so, the printed one too."""
    assert "not confirmed" in needles.needle_for(0.7, 0.13, 1).rests_on
    assert "printed" in needles.needle_for(1.0, 0.13, 1).rests_on


def test_narrow_seed_beads_fail_where_round_ones_pass() -> None:
    """The round 15/0 takes two threads in three passes of 0.13 mm, the narrow-holed one not one."""
    good = needles.finish_fit(0.7, 0.13, threads=2, times=3)
    bad = needles.finish_fit(0.4, 0.13, threads=2, times=3)
    assert good.ok
    assert not bad.ok
    assert "no needle" in bad.says


def test_the_end_bead_goes_over_the_glued_end_not_over_loose_threads() -> None:
    """A hole that takes eight loose threads is not enough; 1 mm is for thread of 0.13 mm."""
    least, most = needles.glued_end_mm(0.13, 8)
    assert [least, most] == pytest.approx([0.6, 0.8], abs=0.01)
    assert needles.end_bead_fit(1.0, 0.13, 8).ok
    tight, closed = needles.end_bead_fit(0.7, 0.13, 8), needles.end_bead_fit(0.45, 0.13, 8)
    assert not tight.ok
    assert "try before" in tight.says
    assert not closed.ok
    assert "does not go over" in closed.says


def test_the_strand_itself_must_pass() -> None:
    """Cord of 0.5 mm passes a 1 mm hole and not one of 0.4 mm."""
    assert needles.strand_passes(1.0, 0.5).ok
    assert not needles.strand_passes(0.4, 0.5).ok


def test_no_passes_are_refused() -> None:
    """A finish without a pass is a mistake."""
    with pytest.raises(ValueError, match="at least once"):
        needles.needle_for(0.7, 0.13, 0)


def test_how_often_is_said_as_one_says_it() -> None:
    """Advice says "once" and "twice", and that a needle does not pass; never "1 times"."""
    says = [
        needles.needle_for(hole / 100, 0.13, times).says
        for hole in range(15, 90, 2)
        for times in (1, 2, 9)
    ]
    for words in ("thread once through", "thread twice through", "passes once", "does not pass"):
        assert any(words in said for said in says), words
    assert not any("1 times" in said or "2 times" in said for said in says)


def test_a_verdict_holds_for_the_thickest_make() -> None:
    """No. 15 takes six passes in its thinner makes only: no. 16 is named, and the doubt told."""
    advice = needles.needle_for(0.7, 0.13, 6)
    assert advice.needle is not None
    assert advice.needle.number == 16
    assert " (no. 15: 4 to 7 times)" in advice.says


def test_measures_have_the_digits_that_they_deserve() -> None:
    """A diameter worked out from tex has two digits; one thread is one thread."""
    fit = needles.finish_fit(0.7000001, 0.172579, threads=1, times=1)
    assert "0.17 mm thread" in fit.says
    assert "1 thread in 1 pass," in fit.says
    assert "0.7 mm hole" in fit.says
    assert "0.1725" not in needles.strand_passes(1.0, 0.172579).says
