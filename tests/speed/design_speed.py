"""How long a shape takes to be fitted, and a cell of a long rope to be painted."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from functools import partial

from bench.craft.beads import find
from bench.design.painting import paint
from bench.design.shape import Wish, fit_rows, row_growth
from bench.design.sheet import Cell
from tests.support.boards import structure, with_loads

SIZES = tuple(find(name) for name in ("15/0", "13/0", "11/0", "8/0", "6/0"))
DROP = ((0.0, 4.3), (0.6, 11.5), (1.0, 4.3))


def seconds(work: Callable[[], object], times: int) -> float:
    """The median of some runs, in seconds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def main() -> None:
    """Measure and print both."""
    wish = Wish(108.0, DROP, SIZES)
    fit = fit_rows(wish, row_growth(structure(), SIZES), 6)[0]
    took = seconds(lambda: fit_rows(wish, row_growth(structure(), SIZES), 6), 3)
    print(f"a shape of {len(fit.rows)} rows from {len(SIZES)} sizes: {took:.2f} s")
    rope = with_loads("ab" * 2500)
    drop = with_loads("ab" * 8)
    for name, sheet in (("16 rows", drop), ("5,000 rows", rope)):
        took = seconds(partial(paint, sheet, [Cell(3, 9)], "c"), 200)
        print(f"one cell of eight strands by {name}: {took * 1000:.3f} ms")


if __name__ == "__main__":
    main()
