"""What is in a tube: what came in, less what loadings drew, from the counts that stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from bench.journal.events import Event
from bench.journal.payloads import Loaded
from bench.journal.tube_payloads import Counting, TubeDrawn


@dataclass(frozen=True, slots=True)
class Draw:
    """What an event took out of a tube; below zero, what it gave back."""

    tube: str
    bench: str
    number: int
    held: float


@dataclass(frozen=True, slots=True)
class Count:
    """A count of a tube, with the last number of each bench's events that it has seen."""

    bench: str
    number: int
    held: float
    error: float
    how: Counting
    seen: Mapping[str, int]

    def has_seen(self, bench: str, number: int) -> bool:
        """Whether an event was known when it was counted."""
        return number <= self.seen.get(bench, 0)


@dataclass(frozen=True, slots=True)
class Balance:
    """What is in a tube; below zero it is short by that much. `counts`: those that stand.

    More than one stand where neither has seen the other: the lower balance holds.
    """

    held: float
    counts: tuple[Count, ...]


def balance_of(came_in: float, counts: Sequence[Count], draws: Iterable[Draw]) -> Balance:
    """Work out what is in a tube. It does not matter in which order counts and draws come."""
    drawn = list(draws)
    standing = tuple(
        count
        for count in counts
        if not any(
            other is not count and other.has_seen(count.bench, count.number) for other in counts
        )
    )
    if not standing:
        return Balance(came_in - sum(draw.held for draw in drawn), ())
    return Balance(
        min(
            count.held - sum(d.held for d in drawn if not count.has_seen(d.bench, d.number))
            for count in standing
        ),
        tuple(sorted(standing, key=lambda count: (count.bench, count.number))),
    )


def draws_of(events: Iterable[Event]) -> list[Draw]:
    """What one piece drew, core and thread beside its loads, from its events in their order.

    Beads that come off again are given back, those last put on first, but for those that are lost
    or thrown away. What was drawn beside them goes back with the last: core beads are not strung
    yet, and lengths that are cut serve the next loading. That one draws it again. A piece that was
    loaded without the program has drawn what it says.
    """
    on: dict[int, list[tuple[str | None, int]]] = {}
    found: list[Draw] = []
    beside: list[TubeDrawn] = []
    is_first = False
    for event in events:
        said = event.payload
        if isinstance(said, TubeDrawn) and (is_first or not on):
            beside.append(said)
            if said.held:
                found.append(Draw(said.tube, event.bench, event.number, said.held))
        if not isinstance(said, Loaded):
            continue
        was_on = any(on.values())
        groups = on.setdefault(said.strand, [])
        found += _drawn(groups, said, event)
        is_on = any(on.values())
        is_first = is_on and not was_on and not beside
        if is_on != was_on:
            sign = 1 if is_on else -1
            found += [Draw(b.tube, event.bench, event.number, sign * b.held) for b in beside]
    return found


def _drawn(groups: list[tuple[str | None, int]], said: Loaded, event: Event) -> Iterator[Draw]:
    """Put a loading's beads on a strand, or take them off; yield what their tubes gave."""
    more = said.beads - sum(beads for _, beads in groups)
    if more > 0 or (more == 0 and said.tube is not None):
        groups += [(said.tube, more)] if more else []
        if said.tube is not None:
            yield Draw(said.tube, event.bench, event.number, more + said.lost)
        return
    lost = said.lost
    for tube, off in _taken_off(groups, -more):
        kept = min(lost, off)
        lost -= kept
        if tube is not None and off > kept:
            yield Draw(tube, event.bench, event.number, kept - off)


def _taken_off(groups: list[tuple[str | None, int]], beads: int) -> list[tuple[str | None, int]]:
    """Take so many beads off the end of a strand; return them by their tubes."""
    off = []
    while beads and groups:
        tube, there = groups.pop()
        taken = min(there, beads)
        beads -= taken
        off.append((tube, taken))
        if there > taken:
            groups.append((tube, there - taken))
    return off
