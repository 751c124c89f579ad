"""A shape from a wish: what grows, what differs, what cannot be had."""

from __future__ import annotations

from itertools import pairwise

import pytest

from bench.craft.beads import find
from bench.craft.growth import grow
from bench.craft.text import Fault
from bench.design.operations import beaded_mm
from bench.design.shape import Wish, fit_rows, may_end, may_follow, row_growth
from tests.support.boards import board, structure

LADDER = tuple(find(name) for name in ("15/0", "11/0", "8/0", "6/0"))
DROP = ((0.0, 4.3), (0.6, 11.5), (1.0, 4.3))


@pytest.mark.parametrize("name", ["silver-eaves", "downpipe", "cistern"])
def test_rows_grow_as_the_whole_braid_does(name: str) -> None:
    """Added up row by row, the length comes within three hundredths of the whole prediction."""
    sheet = board(name)
    growth = row_growth(sheet.structure, LADDER)
    rows = ["abcd".index(letter) for letter in sheet.loads[3]]
    predicted = grow(sheet.plan(), dict(zip("abcde", (*LADDER, LADDER[3]), strict=True)))
    plain_mm = predicted.length_range.middle_mm - beaded_mm(sheet)
    assert growth.top_mm(rows)[-1] == pytest.approx(predicted.length_mm - plain_mm, rel=0.03)


def test_three_proposals_differ_and_are_sound() -> None:
    """For a drop: three, another largest size or two rows apart, no step skipped, slender ends."""
    wish = Wish(55.0, DROP, LADDER)
    fits = fit_rows(wish, row_growth(structure(), LADDER), 6)
    assert len(fits) == 3
    assert [fit.cost for fit in fits] == sorted(fit.cost for fit in fits)
    following, ends = may_follow(LADDER), may_end(LADDER)
    for at, fit in enumerate(fits):
        assert all(b in following[a] for a, b in pairwise(fit.rows))
        assert fit.rows[0] in ends
        assert fit.rows[-1] in ends
        for other in fits[:at]:
            assert fit.largest != other.largest or abs(len(fit.rows) - len(other.rows)) >= 2
    assert abs(fits[0].too_long_mm) < 4
    assert len(fits[0].off_mm) == 3


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        (Wish(55, DROP, LADDER), ""),
        (
            Wish(55, ((0.0, 4.3), (0.6, 40), (1.0, 4.3)), LADDER),
            "28.5 mm too thin 60 % down: no larger size is at hand",
        ),
        (Wish(30, ((0.5, 2),), LADDER[2:3]), "6.7 mm too thick 50 % down: no smaller size is at"),
        (Wish(55, DROP, (LADDER[0], LADDER[3])), "sizes change by one step from row to row"),
        (
            Wish(55, ((0.0, 11.5), (0.6, 4.5)), LADDER),
            "at the top: a braid begins and ends on",
        ),
    ],
)
def test_a_wish_that_no_rows_come_near_says_which_one_is_in_the_way(wish: Wish, says: str) -> None:
    """The nearest rows are still proposed, with what they miss most and why; near ones say none."""
    nearest = fit_rows(wish, row_growth(structure(), wish.sizes), 6)[0]
    assert says in nearest.in_the_way
    assert bool(says) == bool(nearest.in_the_way)


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        (Wish(0, DROP, LADDER), "a length of 0 mm cannot be braided"),
        (Wish(55, (), LADDER), "say how thick"),
        (Wish(55, DROP, ()), "name at least one size"),
        (Wish(55, ((2.0, 4.0),), LADDER), "from 0 to 1, not 2"),
        (Wish(55, ((0.5, -4.0),), LADDER), "a thickness of -4 mm"),
        (Wish(1e9, DROP, LADDER), "rows at most"),
    ],
)
def test_a_wish_that_cannot_be_met_says_what_is_in_the_way(wish: Wish, says: str) -> None:
    """Each impossible wish is one sentence."""
    with pytest.raises(Fault, match=says):
        fit_rows(wish, row_growth(structure(), LADDER), 6)
