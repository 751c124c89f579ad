"""Events from elsewhere: taken in once, each piece they touch replayed."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bench.journal import event_rows as table
from bench.journal.errors import Conflict
from bench.journal.events import Event, canonical
from bench.journal.standing import KeptVersion, standing
from bench.journal.typed_json import shown

if TYPE_CHECKING:
    from bench.journal.commission_payloads import CommissionKept


@dataclass(frozen=True, slots=True)
class Merged:
    """What a merge did: events that were new, events that were there, and what to look at."""

    added: int
    known: int
    warnings: tuple[str, ...] = ()


def join(db: sqlite3.Connection, events: Iterable[Event], ids: dict[str, int]) -> Merged:
    """Write the events that the file lacks, within the caller's transaction.

    Raises Conflict if the file holds one of the same id and another content.
    """
    from bench.journal.commission_payloads import CommissionKept

    added = known = 0
    touched: dict[str, None] = {}
    for event in events:
        there = table.find(db, event.uuid)
        if there is None:
            table.add(db, event, ids)
            touched.update((piece, None) for piece, _ in event.pieces)
            added += 1
        elif there == event or _was_left_for_both(there, event):
            known += 1
        else:
            raise Conflict(f"The event {event.uuid} differs from the one in the journal.")
    warnings = []
    for piece in touched:
        state, its_events = table.renew(db, piece, ids)
        if not its_events:
            continue
        versions = [
            (e.uuid, e.payload) for e in its_events if isinstance(e.payload, CommissionKept)
        ]
        if versions:
            apart = _stand_apart(versions)
            if len(apart) > 1:
                warnings.append(
                    f"The commission {shown(apart[-1].name)} was changed at two benches: "
                    "look at it before you go on."
                )
        elif its_events[0].of_pieces and state.open:
            warnings.append(
                f"The piece {state.name} was carried on at two benches: "
                "find your place before you go on."
            )
    return Merged(added, known, tuple(warnings))


def _stand_apart(versions: Sequence[tuple[str, CommissionKept]]) -> list[CommissionKept]:
    """The versions of a commission that no other one follows, one for each of what they say.

    versions: each with the id of its event.
    """
    kept = [
        KeptVersion(uuid, said.over, said.content, bool(said.surplus)) for uuid, said in versions
    ]
    events = {*standing(kept)}
    return list(
        {canonical(said.content): said for uuid, said in versions if uuid in events}.values()
    )


def _was_left_for_both(one: Event, other: Event) -> bool:
    """Whether two benches have taken in what was left once, before one was made from the other.

    Such an event has one id and says the same; number, time and the event before it were given at
    each bench, and stay as they are there.
    """
    return one.bench != other.bench and _says(one) == _says(other)


def _says(event: Event) -> tuple[object, ...]:
    return event.kind, event.version, event.payload, event.pieces, event.lot
