"""The fit of a shape against trying every sequence of rows there is."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise, product

import pytest

from bench.craft.beads import find
from bench.design.shape import (
    EXACT_ROWS,
    Outline,
    RowGrowth,
    Wish,
    fit_rows,
    may_end,
    may_follow,
    row_growth,
)  # fmt: skip
from tests.support.boards import structure

LADDER = tuple(find(name) for name in ("15/0", "11/0", "8/0", "6/0"))


def cost_of(
    rows: Sequence[int], wish: Wish, growth: RowGrowth, columns: int
) -> tuple[float, float]:
    """The weighted squared deviations of some rows, in mm², and their length in mm."""
    outline = Outline(wish, columns)
    before, cost = 0.0, 0.0
    for row, top in zip(rows, growth.top_mm(rows), strict=True):
        cost += outline.row_cost(row, before, top - before)
        before = top
    return cost + wish.length_weight * (before - wish.length_mm) ** 2, before


@pytest.mark.parametrize("seed", range(4))
def test_the_fit_is_the_best_of_all_rows(seed: int) -> None:
    """Up to eight rows and four sizes, the first proposal costs as little as any sequence."""
    draw = random.Random(seed)
    points = tuple((at, draw.uniform(3, 12)) for at in (0.0, draw.uniform(0.3, 0.7), 1.0))
    wish = Wish(draw.uniform(10, 28), points, LADDER)
    growth = row_growth(structure(), LADDER)
    following, ends = may_follow(LADDER), may_end(LADDER)
    best = min(
        cost_of(rows, wish, growth, 6)[0]
        for count in range(1, EXACT_ROWS + 1)
        for rows in product(range(4), repeat=count)
        if rows[0] in ends
        and rows[-1] in ends
        and all(after in following[before] for before, after in pairwise(rows))
    )
    fits = fit_rows(wish, growth, 6, most_rows=EXACT_ROWS)
    assert fits[0].cost == pytest.approx(best, abs=1e-9)
    assert cost_of(fits[0].rows, wish, growth, 6) == pytest.approx(
        (fits[0].cost, fits[0].length_mm)
    )
