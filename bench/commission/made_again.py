"""Pieces that have to be made again, by the share of the maker's own that did not come out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bench.commission.inspection import Outcomes, wilson
from bench.craft.spare import Spare


def with_made_again(wanted: Sequence[int], outcomes: Outcomes, short: float) -> tuple[int, ...]:
    """How many pieces of each lot are to be begun, so that as many as wanted come out good.

    `short`: the chance that is borne of beginning too few. What is begun beside those that are
    wanted is shared out by the lots' pieces, the largest rests first. As many as wanted where
    nothing is known of the share.
    """
    whole = sum(wanted)
    more = (_reckon_with(whole, outcomes, short) or whole) - whole
    parts = [divmod(more * pieces, whole) for pieces in wanted]
    left = more - sum(full for full, _ in parts)
    largest = sorted(range(len(wanted)), key=lambda at: (-parts[at][1], at))[:left]
    return tuple(
        pieces + full + (at in largest)
        for at, (pieces, (full, _)) in enumerate(zip(wanted, parts, strict=True))
    )


def _reckon_with(wanted: int, outcomes: Outcomes, short: float) -> int | None:
    """How many pieces to begin; None where nothing was spoilt yet, or nothing came out good."""
    if not outcomes.spoilt or not outcomes.good:
        return None
    share = outcomes.spoilt / (outcomes.good + outcomes.spoilt)
    return Spare(share, short).beads_for(wanted)


def made_again_said(
    wanted: int, outcomes: Outcomes | None, short: float, *, counted: bool
) -> Iterator[str]:
    """Say whether pieces made again are `counted`, and how many pieces that means to begin."""
    if outcomes is None or not outcomes.spoilt:
        return
    ended = outcomes.good + outcomes.spoilt
    reckoned = _reckon_with(wanted, outcomes, short)
    if reckoned is None:
        yield f"pieces made again are not counted: none of your {ended} came out as it should yet"
        return
    low, high = wilson(outcomes.spoilt, ended)
    yield (
        f"pieces made again are {'' if counted else 'not '}counted: {outcomes.spoilt} of your"
        f" {ended} were seconds or spoilt (8 in 10: {low:.0%} to {high:.0%}); for {wanted} good"
        f" ones reckon with {reckoned}"
    )
