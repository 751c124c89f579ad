"""How a strand that was read off differs from its plan, by weighted edit distance."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from bench.slips.planned_stand import PlannedStand, common_start
from bench.slips.suspect import Slips, Suspect

MISSING, EXTRA, WRONG = 3, 4, 5
"""What one slip of a kind costs in the comparison: the rarer, the more. Rule of thumb, no
source; a wrong bead is dearer than either and cheaper than both."""


@lru_cache(maxsize=4096)
def distance(planned: str, actual: str) -> int:
    """How many beads differ between two strands."""
    return len(edits(planned, actual))


@dataclass(frozen=True, slots=True)
class Edit:
    """One difference: at counts the planned beads from 0; an extra bead stands before it."""

    kind: Literal["missing", "extra", "wrong"]
    at: int
    bead: str | None
    actual: str | None


def edits(planned: str, actual: str) -> tuple[Edit, ...]:
    """The cheapest edits from the plan to what was read off, in order of release."""
    head = common_start(planned, actual)
    tail = common_start(planned[head:][::-1], actual[head:][::-1])
    a, b = planned[head : len(planned) - tail], actual[head : len(actual) - tail]
    table = [[j * EXTRA for j in range(len(b) + 1)]]
    for i, x in enumerate(a, 1):
        above, row = table[-1], [i * MISSING]
        for j, y in enumerate(b, 1):
            change = above[j - 1] + (0 if x == y else WRONG)
            row.append(min(change, above[j] + MISSING, row[-1] + EXTRA))
        table.append(row)
    found: list[Edit] = []
    i, j = len(a), len(b)
    while i or j:
        here = table[i][j]
        if i and j and here == table[i - 1][j - 1] + (0 if a[i - 1] == b[j - 1] else WRONG):
            i, j = i - 1, j - 1
            if a[i] != b[j]:
                found.append(Edit("wrong", head + i, a[i], b[j]))
        elif i and here == table[i - 1][j] + MISSING:
            i -= 1
            found.append(Edit("missing", head + i, a[i], None))
        else:
            j -= 1
            found.append(Edit("extra", head + i, None, b[j]))
    return tuple(reversed(found))


def differences(planned: PlannedStand, strand: int, letters: str) -> Slips:
    """The slips, bead by bead, that lead to what was read off of a strand, the next one first."""
    used = planned.counts[strand - 1]
    found = []
    for edit in edits(planned.loads[strand - 1][used:], letters):
        first = used + edit.at + 1
        slip = Suspect(
            edit.kind, strand, None, edit.bead, edit.actual, first, first, index=first - 1
        )
        found.append(slip)
    return tuple(found)
