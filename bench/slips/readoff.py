"""Reading a strand off: its beads against its plan, by weighted edit distance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bench.slips.effects import Mend, Regret
from bench.slips.looks import Costs
from bench.slips.mends import mends
from bench.slips.scene import Scene, Suspect, alike, spaced
from bench.slips.workbench import Workbench

MISSING, EXTRA, WRONG = 3, 4, 5
"""What one slip of a kind costs in the comparison: the rarer, the more. Rule of thumb, no
source; a wrong bead is dearer than either and cheaper than both."""


@dataclass(frozen=True, slots=True)
class Edit:
    """One difference: at counts the planned beads from 0; an extra bead stands before it."""

    kind: Literal["missing", "extra", "wrong"]
    at: int
    bead: str | None
    actual: str | None


def distance(planned: str, actual: str) -> int:
    """The weight of the cheapest edits that make what hangs there from the plan."""
    return sum(
        {"missing": MISSING, "extra": EXTRA, "wrong": WRONG}[e.kind] for e in edits(planned, actual)
    )


def edits(planned: str, actual: str) -> tuple[Edit, ...]:
    """The cheapest edits from the plan to what was read off, in order of release."""
    head = alike(planned, actual)
    tail = alike(planned[head:][::-1], actual[head:][::-1])
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


def read_off(
    scene: Scene,
    strand: int,
    letters: str,
    costs: Costs | None = None,
    regret: Regret | None = None,
) -> tuple[tuple[Edit, ...], tuple[Suspect, ...], tuple[Mend, ...]]:
    """What differs on a strand whose beads were all read off, next one first.

    Returned with the slips that it comes from, where it is one bead, and its mends, best first.
    """
    used = scene.counts[strand - 1]
    planned = scene.loads[strand - 1][used:]
    found = edits(planned, letters)
    if not found:
        return found, (), (Mend("Carry on: the strand is right.", 0.0, "nothing"),)
    if len(found) == 1:
        (edit,) = found
        first = used + edit.at + 1
        slips = (
            Suspect(edit.kind, strand, None, edit.bead, edit.actual, first, first, index=first - 1),
        )
        return found, slips, mends(scene, slips, costs, regret)
    rank = regret or Regret()
    work = Workbench(scene, costs or Costs())
    rest = {strand: spaced(letters, scene.plan.remaining(strand, scene.made))}
    ways = work.restring(rest), work.carry_on(rest, "these beads stay as they hang")
    return found, (), tuple(sorted(ways, key=rank.of))
