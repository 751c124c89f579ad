"""The order of a piece's events: the chain of `after`, then the bench's number; never the clock."""

from __future__ import annotations

from collections.abc import Sequence

from bench.journal.events import Event


def after_of(event: Event, piece: str) -> str | None:
    """Return the piece's event before this one: None for its first, "" if it is not its own."""
    for (own, _), after in zip(event.pieces, event.after, strict=True):
        if own == piece:
            return after
    return ""


def _rank(event: Event) -> tuple[int, str, str]:
    return (event.number, event.bench, event.uuid)


def in_order(piece: str, events: Sequence[Event]) -> list[Event]:
    """Return one piece's events in their order, whatever order they come in.

    Each event follows the one named by its `after`. Where the piece was carried on at two benches
    (a fork), one branch stands whole before the other, by the number of its first event. Events
    whose forerunner is missing come after the rest, by number.
    """
    previous: str | None = None
    for event in events:
        if after_of(event, piece) != previous:
            break
        previous = event.uuid
    else:
        return list(events)
    known = {event.uuid for event in events}
    children: dict[str | None, list[Event]] = {}
    for event in events:
        after = after_of(event, piece)
        children.setdefault(after if after is None or after in known else "", []).append(event)
    for branch in children.values():
        branch.sort(key=_rank, reverse=True)
    ordered: list[Event] = []
    seen: set[str] = set()
    for root in (None, ""):
        stack = list(children.get(root, ()))
        while stack:
            event = stack.pop()
            if event.uuid in seen:
                continue
            seen.add(event.uuid)
            ordered.append(event)
            stack.extend(children.get(event.uuid, ()))
    ordered.extend(sorted((e for e in events if e.uuid not in seen), key=_rank))
    return ordered


def forked(piece: str, events: Sequence[Event]) -> bool:
    """Say whether two events of the piece follow the same one: it was carried on at two benches."""
    befores = [after_of(event, piece) for event in events]
    return len(set(befores)) < len(befores)
