"""Finding the place: which count of crosses fits what lies on the stand."""

from __future__ import annotations

from .plan import Plan

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
    plan: Plan, made: int, place: int, left: int | None, call: str | None
) -> tuple[int, ...]:
    """Counts of crosses made that fit two looks, the nearest to the present count first.

    place is where beads were counted, left how many (None: not counted), call which pair lies
    uppermost (None: not looked at).
    """
    rounds = plan.structure.round
    fitting = []
    for count in range(plan.crosses + 1):
        if call is not None and (count == 0 or rounds[(count - 1) % len(rounds)].call != call):
            continue
        if left is not None and beads_left(plan, plan.arrangement(count)[place - 1], count) != left:
            continue
        fitting.append(count)
    return tuple(sorted(fitting, key=lambda count: (abs(count - made), count)))
