"""Until when a piece dries."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from bench.journal.clock import Clock
from bench.journal.errors import JournalError
from bench.journal.piece_state import PieceState
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


def dry_until(state: PieceState, minutes: float, clock: Clock) -> Drying:
    """Until or since when a piece is dry that is drying, so many minutes in all."""
    begun = state.stage_began
    if begun is None:
        return Drying(f"for {minutes:g} minutes")
    zone = dt.timezone(dt.timedelta(minutes=begun.offset_min))
    ends = dt.datetime.fromtimestamp(begun.wall + 60 * minutes, zone)
    now = dt.datetime.fromtimestamp(clock.now().wall, zone)
    is_dry = now >= ends
    return Drying(f"{'since' if is_dry else 'until'} {time_of_day(ends, now)}", is_dry, ends)


def drying_words(journal: Journal, piece: str, clock: Clock) -> str:
    """How a drying piece stands: 'dries until 16:10', 'dry since 16:10'."""
    try:
        braid = Braid(journal, piece)
        until = dry_until(braid.state, braid.pattern.finish.dry_minutes, clock)
    except (JournalError, KeyError):
        return "dries"
    return f"{'is dry' if until.is_dry else 'dries'} {until.words}"


def stand_taken(journal: Journal | None, stands: int, clock: Clock) -> str:
    """Say that a piece dries on the maker's stand; nothing while a stand is free."""
    states = [] if journal is None else unfinished(journal)
    drying = [state for state in states if state.stage == "dry"]
    if journal is None or len(drying) < stands:
        return ""
    return f"Stand taken: a piece on it {drying_words(journal, drying[0].uuid, clock)}."
