"""Which kept versions of a commission stand: those that no other one has gone on from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class KeptVersion:
    """A kept version: its event, those of the versions that it follows, and what it says.

    `adds`: it says more than its content, as what becomes of pieces beyond a count.
    """

    event: str
    over: tuple[str, ...]
    content: object
    adds: bool


def standing(versions: Sequence[KeptVersion]) -> Iterator[str]:
    """Yield the events of the versions that stand, in the order given.

    A version that follows one alone and only repeats it, as when a bench takes over what another
    has changed, is no change of its own: whoever goes on from the one has gone on from the other.
    One that chose between several is a decision. Of versions without a ring at least one stands.
    """
    known = {version.event: version for version in versions}
    first: dict[str, str] = {}

    def root(event: str) -> str:
        """The version that an event repeats, directly or through others; else its own."""
        if event not in first:
            first[event] = event  # a ring of events that name each other ends here
            kept = known.get(event)
            if kept is not None and not kept.adds and len(kept.over) == 1:
                before = known.get(kept.over[0])
                if before is not None and before.content == kept.content:
                    first[event] = root(before.event)
        return first[event]

    named = {before for version in versions for before in version.over}
    gone_on = {
        root(before)
        for version in versions
        for before in version.over
        if root(before) != root(version.event)
    }
    for version in versions:
        if version.event not in named and root(version.event) not in gone_on:
            yield version.event
