"""A length in mm made of whole repeats: how often some rows have to stand for a braid so long."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from bench.craft.text import Fault
from bench.design.rows import check_rows, repeat_rows, take_out_rows
from bench.design.sheet import Sheet

MOST_REPEATS = 5_000
SWATCH_ROWS = 24
"""So many rows are braided and measured. Common practice, no source."""
MOST_OFF = 2.0
"""A swatch that is off by more than so many times is a slip of the pen."""


@dataclass(frozen=True)
class Repeated:
    """A sheet with so many repeats, and what it comes to.

    `length_mm`: beaded length; `one_mm`: what one repeat adds; `short`: strands that are shorter
    than the longest, whose rows the repeats do not reach.
    """

    sheet: Sheet
    times: int
    length_mm: float
    one_mm: float
    short: tuple[int, ...]


def to_length(
    sheet: Sheet,
    first: int,
    last: int,
    standing: int,
    wish_mm: float,
    beaded_mm: Callable[[Sheet], float],
) -> Repeated:
    """Make rows stand so often that the beaded length comes nearest to a wish.

    Args:
        sheet: the sheet, in which the repeat stands `standing` times from row `first` on.
        first: the first row of the first repeat.
        last: the last row of the first repeat.
        standing: how often it stands there now.
        wish_mm: the beaded length that is asked for; caps, clasp and plain ends are not in it.
        beaded_mm: the beaded length of a sheet, by the growth model or by what was measured.

    Raises Fault if there are no such rows, or if more repeats would be needed than a strand holds.

    """
    check_rows(sheet, first, last)
    rows = last - first + 1
    if standing > 1:
        check_rows(sheet, first, first + rows * standing - 1)
        sheet = take_out_rows(sheet, last + 1, first + rows * standing - 1)
    two, three = (beaded_mm(repeat_rows(sheet, first, last, times)) for times in (2, 3))
    one = three - two
    if not one > 0:
        raise Fault("these rows add nothing to the length: give every strand a load first, as 16b")
    times = max(1, round((wish_mm - two) / one) + 2)
    if times > MOST_REPEATS:
        raise Fault(f"{wish_mm:,.0f} mm would take {times:,} repeats; {MOST_REPEATS:,} at most")
    found = repeat_rows(sheet, first, last, times)
    length = beaded_mm(found)
    if more := round((wish_mm - length) / one):
        # The first repeats of a braid may add a little less than later ones.
        times = max(1, times + more)
        found = repeat_rows(sheet, first, last, times)
        length = beaded_mm(found)
    longest = found.rows
    short = tuple(n for n, load in enumerate(found.loads, 1) if len(load) < longest)
    return Repeated(found, times, length, one, short)


def as_measured(
    sheet: Sheet,
    first: int,
    last: int,
    swatch_rows: int,
    swatch_mm: float,
    beaded_mm: Callable[[Sheet], float],
) -> Callable[[Sheet], float]:
    """The beaded length as a swatch of so many rows of the repeat has measured it.

    All of the length is taken to differ from the model as the swatch does. Raises Fault for rows
    that are not there, or add nothing.
    """
    check_rows(sheet, first, last)
    rows = last - first + 1
    more = math.ceil(swatch_rows / rows)
    short, long = (beaded_mm(repeat_rows(sheet, first, last, times)) for times in (2, 2 + more))
    predicted = (long - short) / (rows * more) * swatch_rows
    if not predicted > 0:
        raise Fault("these rows add nothing to the length: give every strand a load first, as 16b")
    factor = swatch_mm / predicted
    if not 1 / MOST_OFF <= factor <= MOST_OFF:
        raise Fault(
            f"a swatch of {swatch_rows} rows is predicted as {predicted:.0f} mm;"
            f" {swatch_mm:g} mm is too far from it to be right"
        )
    return lambda of: beaded_mm(of) * factor
