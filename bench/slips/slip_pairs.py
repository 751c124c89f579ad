"""Several slips together: which are thought of, and how likely they are before any look."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from bench.slips.priors import Priors
from bench.slips.suspect import OF_THE_COUNT, Slips, Suspect

MOST_PAIRED = 28
"""So many of the best single suspects are tried in pairs."""

MOST_OF_A_RUN = 4
"""So many beads of one run may be too few or too many. Rule of thumb, no source."""

ALONE = OF_THE_COUNT | {"misread", "cross_twice"}
"""Slips of which no two are thought of together, or, but for the count, none with another."""


def more_of_a_run(
    singles: Iterable[tuple[Suspect, float]], priors: Priors
) -> Iterator[tuple[Slips, float]]:
    """Two to MOST_OF_A_RUN beads of a run too few or too many: one miscount, with its odds."""
    for one, odds in singles:
        if one.first is None or one.slip not in ("missing", "extra") or not priors.one_more:
            continue
        slips: Slips = (one,)
        for more in range(1, MOST_OF_A_RUN):
            if one.slip == "missing":
                if one.index - more < one.first - 1:
                    break
                slips = (*slips, replace(one, index=one.index - more))
            elif one.actual == one.bead:
                slips = (*slips, one)
            else:
                break
            yield slips, odds * priors.one_more**more


def both_hands(
    singles: Iterable[tuple[Suspect, float]], priors: Priors
) -> Iterator[tuple[Slips, float]]:
    """The wrong one of both pairs carried at one cross, with its odds."""
    pairs = [(one, odds) for one, odds in singles if one.slip == "wrong_of_pair"]
    for (one, odds), (two, others) in combinations(pairs, 2):
        strands = {one.strand, one.with_, two.strand, two.with_}
        if one.at == two.at and len(strands) == 4:
            yield (one, two), priors.both_hands * min(odds, others)


def pairs_of(
    best: Sequence[Suspect], prior: Mapping[Suspect, float], together: float
) -> Iterator[tuple[Suspect, Suspect, float]]:
    """Pairs of these single suspects with their prior odds; prior has the odds of each.

    together: how many times likelier the second is once there is a first.
    """
    for one, two in combinations(best, 2):
        kinds = {one.slip, two.slip}
        if kinds <= ALONE or "cross_twice" in kinds:
            continue
        yield one, two, together * prior[one] * prior[two]
