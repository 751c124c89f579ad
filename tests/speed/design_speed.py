"""How long a shape takes to be fitted, a cell of a long rope to be painted, kept and told."""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from bench.craft.beads import find
from bench.design.colours import alike_pairs
from bench.design.history import History
from bench.design.operation import Desk
from bench.design.operations import Paint
from bench.design.painting import paint
from bench.design.shape import Wish, fit_rows, row_growth
from bench.design.sheet import Cell, Sheet
from bench.documents.sketch import Sketch, read_log
from bench.documents.sketch_log import SketchLog
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
    """Measure and print them."""
    wish = Wish(108.0, DROP, SIZES)
    fit = fit_rows(wish, row_growth(structure(), SIZES), 6)[0]
    took = seconds(lambda: fit_rows(wish, row_growth(structure(), SIZES), 6), 3)
    print(f"a shape of {len(fit.rows)} rows from {len(SIZES)} sizes: {took:.2f} s")
    rope = with_loads("ab" * 2500)
    drop = with_loads("ab" * 8)
    for name, sheet in (("16 rows", drop), ("5,000 rows", rope)):
        took = seconds(partial(paint, sheet, [Cell(3, 9)], "c"), 200)
        print(f"one cell of eight strands by {name}: {took * 1000:.3f} ms")
    print(
        f"beads of 40,000 that look alike: {seconds(partial(alike_pairs, rope), 3) * 1000:.0f} ms"
    )
    with tempfile.TemporaryDirectory() as folder:
        _log(Path(folder), rope)


def _log(home: Path, rope: Sheet) -> None:
    """Measure what keeping a sketch of a long rope takes."""
    desk, history = Desk(structure), History(rope)
    log = SketchLog.begin(home, Sketch("rope", "", None, history))
    dots = [Paint(bead="c", strands=(3,), first=row) for row in range(1, 201)]
    took = seconds(partial(log.append, dots[0]), 1)
    for dot in dots:
        history = history.do(dot, desk)
        took = max(took, seconds(partial(log.append, dot), 1))
    print(f"an operation into the sketch's log, the slowest of 200: {took * 1000:.2f} ms")
    print(
        f"the log of 201 operations written anew: {seconds(partial(log.compact, history), 3):.3f} s"
    )
    print(f"read again: {seconds(partial(read_log, log.path, desk), 3):.3f} s")
    log.close()


if __name__ == "__main__":
    main()
