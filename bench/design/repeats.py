"""Rows that stand several times one after the other, found in a sheet."""

from __future__ import annotations

from bench.design.sheet import Sheet

LONGEST = 48
"""Repeats of so many rows at the most are looked for."""


def standing(sheet: Sheet, first: int, last: int) -> int:
    """How often some rows stand one after the other, from the first on; at least once."""
    rows = _rows(sheet)
    size = last - first + 1
    part = rows[first - 1 : last]
    times = 1
    while rows[first - 1 + times * size : last + times * size] == part:
        times += 1
    return times


def found_repeat(sheet: Sheet) -> tuple[int, int, int] | None:
    """The repeat that covers most rows: its first and last row, and how often it stands.

    Of those that cover as many the shortest, then the first. None where no rows stand twice.
    """
    rows = _rows(sheet)
    best: tuple[int, int, int] | None = None
    covered = 0
    for size in range(1, min(LONGEST, len(rows) // 2) + 1):
        at = 0
        while at + 2 * size <= len(rows):
            # A stretch that begins inside this one ends where it ends: it covers no more.
            alike = at
            while alike + size < len(rows) and rows[alike] == rows[alike + size]:
                alike += 1
            times = (alike - at) // size + 1
            if times > 1 and times * size > covered:
                best, covered = (at + 1, at + size, times), times * size
            at = alike + 1
    return best


def _rows(sheet: Sheet) -> list[str]:
    """Each row as a string, a letter for each strand."""
    loads = [load.ljust(sheet.rows) for load in sheet.loads]
    return ["".join(row) for row in zip(*loads, strict=True)]
