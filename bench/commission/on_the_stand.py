"""Pieces of no order that dry on a stand, and so keep it from an order's pieces."""

from __future__ import annotations

from collections.abc import Iterator

from bench.journal.clock import Instant
from bench.journal.errors import Damaged
from bench.journal.frozen import thaw, work_of
from bench.journal.piece_times import piece_times
from bench.journal.store import Journal
from bench.pace.evening_plan import PieceAhead
from bench.pace.predictive import Job


def drying_apart(journal: Journal, now: Instant) -> Iterator[PieceAhead]:
    """What of no order still dries; what only lies there, begun and left, takes no stand."""
    for state in journal.pieces():
        started = journal.started(state.uuid) if state.stage == "dry" else None
        if started is None or state.commission is not None:
            continue
        try:
            frozen = thaw(started)
        except Damaged:
            continue
        state = journal.timed(state.uuid)
        since = None if state.presses is None else state.presses.dry_since
        dry_s = 60.0 * frozen.pattern.finish.dry_minutes
        left_s = dry_s if since is None else dry_s - (now.wall - since)
        if left_s > 0:
            work = work_of(frozen.plan)
            left = piece_times(state, work).left
            job = Job(state.pattern_name, state.size, state.colourway, work, left)
            yield PieceAhead(f"{state.title}, of no order", job, dry_s, left_s, on_stand=True)
