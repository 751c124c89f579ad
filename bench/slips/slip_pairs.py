"""Two slips together: which are thought of, and how likely each is before any look."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from bench.slips.suspect import OF_THE_COUNT, Suspect

MOST_PAIRED = 28
"""So many of the best single suspects are tried in pairs."""

BOTH_HANDS = 0.2
"""Where one hand carried the wrong one of a pair, so often the other did so too. Rule of thumb,
no source."""


def pairs_of(
    best: Sequence[Suspect], prior: Mapping[Suspect, float], strands: set[int]
) -> Iterator[tuple[Suspect, Suspect, float]]:
    """Pairs of slips with their prior odds: all of the best single suspects.

    Besides, two beads too few or too many in one run, of those and on these strands. prior has
    the odds of every single suspect.
    """
    for one, two in combinations(best, 2):
        if {one.slip, two.slip} <= OF_THE_COUNT:
            continue
        odds = prior[one] * prior[two]
        if one.slip == two.slip == "wrong_of_pair" and one.at == two.at:
            odds = BOTH_HANDS * min(prior[one], prior[two])
        yield one, two, odds
    on_strands = [s for s in prior if s.strand in strands and s.slip in ("missing", "extra")]
    near = sorted((s for s in on_strands if s not in best), key=lambda s: -prior[s])[:MOST_PAIRED]
    for one in (*best, *near):
        odds = prior[one] ** 2 / 2
        if one.slip == "extra":
            yield one, one, odds
        elif one.slip == "missing" and one.first is not None and one.index >= one.first:
            yield one, replace(one, index=one.index - 1), odds
