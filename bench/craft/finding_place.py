"""Finding the place: which count of crosses fits what lies on the stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bench.craft.plan import Plan

MOST_COUNTED = 20
"""More beads than this are not counted at the stand; the strand's next change is looked at."""


def asked_place(plan: Plan, made: int) -> int | None:
    """The place whose strand is looked at: where beads hang, the next cross's own if it can be.

    None when no strand holds beads any more.
    """
    if made < plan.crosses:
        for move in plan.step(made + 1).carried:
            if plan.remaining(move.strand, made):
                return move.transfer.start
    arrangement = plan.arrangement(made)
    for place, strand in enumerate(arrangement, 1):
        if plan.remaining(strand, made):
            return place
    return None


def counts_all(plan: Plan) -> bool:
    """Whether the beads left on a strand are counted to its end, and not to its next change."""
    return max(len(load) for load in plan.loads) <= MOST_COUNTED


def beads_left(plan: Plan, strand: int, made: int) -> int:
    """Beads that a look at the strand counts: all that are left, or those up to a change."""
    rest = plan.remaining(strand, made).replace("-", "")
    if counts_all(plan) or not rest:
        return len(rest)
    return len(rest) - len(rest.lstrip(rest[0]))


def calls(plan: Plan) -> tuple[str, ...]:
    """The calls of a round, each once: what may lie uppermost on the braid."""
    return tuple(dict.fromkeys(cross.call for cross in plan.structure.round))


def places_that_fit(
    plan: Plan, made: int, counted: Mapping[int, int], call: str | None
) -> tuple[int, ...]:
    """Counts of crosses made that fit what was looked at, the nearest to the present count first.

    counted is the beads left by place, call which pair lies uppermost (None: not looked at).
    """
    rounds = plan.structure.round
    fitting = []
    for count in range(plan.crosses + 1):
        if call is not None and (count == 0 or rounds[(count - 1) % len(rounds)].call != call):
            continue
        if all(left_at(plan, place, count) == left for place, left in counted.items()):
            fitting.append(count)
    return tuple(sorted(fitting, key=lambda count: (abs(count - made), count)))


def left_at(plan: Plan, place: int, made: int) -> int:
    """Beads that a look counts on the strand that lies at a place once so many are made."""
    return beads_left(plan, plan.arrangement(made)[place - 1], made)


def telling_place(plan: Plan, counts: Sequence[int], asked: int | None) -> int | None:
    """The place, but the one asked before, where a count tells most of these counts apart.

    The one with the fewest beads to count among those; None where no place tells any.
    """
    best: tuple[int, int, int] | None = None
    for place in range(1, plan.strands + 1):
        lefts = [left_at(plan, place, count) for count in counts]
        told = len(set(lefts))
        if place != asked and told > 1 and (best is None or (-told, max(lefts)) < best[:2]):
            best = -told, max(lefts), place
    return None if best is None else best[2]
