"""Two slips together: which are thought of, and how likely each is before any look."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from bench.slips.scene import OF_THE_COUNT, Suspect

PAIRED = 28
"""So many of the best single suspects are tried in pairs."""

BOTH_HANDS = 0.2
"""Where one hand carried the wrong one of a pair, so often the other did so too. Rule of thumb,
no source."""


def together(
    some: Sequence[Suspect], prior: Mapping[Suspect, float], strands: set[int]
) -> Iterator[tuple[Suspect, Suspect, float]]:
    """Pairs of slips with their odds.

    All of `some`, the best first; and two beads too few or too many in one run, of those and on
    these strands.
    """
    for one, two in combinations(some, 2):
        if {one.slip, two.slip} <= OF_THE_COUNT:
            continue
        odds = prior[one] * prior[two]
        if one.slip == two.slip == "wrong_of_pair" and one.at == two.at:
            odds = BOTH_HANDS * min(prior[one], prior[two])
        yield one, two, odds
    told = [s for s in prior if s.strand in strands and s.slip in ("missing", "extra")]
    near = sorted((s for s in told if s not in some), key=lambda s: -prior[s])[:PAIRED]
    for one in (*some, *near):
        odds = prior[one] ** 2 / 2
        if one.slip == "extra":
            yield one, one, odds
        elif one.slip == "missing" and one.first is not None and one.index >= one.first:
            yield one, replace(one, index=one.index - 1), odds
