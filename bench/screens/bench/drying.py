"""Until when a piece dries."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from bench.journal.clock import Clock
from bench.journal.errors import JournalError
from bench.journal.payloads import StageStarted
from bench.journal.store import Journal
from bench.making.braid import Braid, unfinished
from bench.screens.kit.words import time_of_day


@dataclass(frozen=True, slots=True)
class Drying:
    """How far a piece has dried; words: 'until 16:10', 'since 16:10', or 'for 90 minutes'."""

    words: str = ""
    is_dry: bool = False
    ends: dt.datetime | None = None
    """When it is dry by the pattern; None where nothing is known of its beginning."""


def dry_until(braid: Braid, clock: Clock | None) -> Drying:
    """Until or since when a drying piece is dry."""
    minutes = braid.pattern.finish.dry_minutes
    begun = None
    for event, said in braid.journal.each(StageStarted, braid.piece):
        begun = event.instant if said.stage == "dry" else begun
    if begun is None or clock is None:
        return Drying(f"for {minutes:g} minutes")
    zone = dt.timezone(dt.timedelta(minutes=begun.offset_min))
    ends = dt.datetime.fromtimestamp(begun.wall + 60 * minutes, zone)
    now = dt.datetime.fromtimestamp(clock.now().wall, zone)
    is_dry = now >= ends
    return Drying(f"{'since' if is_dry else 'until'} {time_of_day(ends, now)}", is_dry, ends)


def stand_taken(journal: Journal | None, stands: int, clock: Clock) -> str:
    """Say that a piece dries on the maker's stand; nothing while a stand is free."""
    states = [] if journal is None else unfinished(journal)
    drying = [state for state in states if state.stage == "dry"]
    if journal is None or len(drying) < stands:
        return ""
    try:
        until = dry_until(Braid(journal, drying[0].uuid), clock)
    except (JournalError, KeyError):
        return "Stand taken: a piece on it dries."
    return f"Stand taken: a piece on it {'is dry' if until.is_dry else 'dries'} {until.words}."
