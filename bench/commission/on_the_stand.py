"""Pieces of other orders and of none that lie on a stand, and so keep it from an order's pieces."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from bench.journal.clock import Instant
from bench.journal.errors import Damaged
from bench.journal.frozen import thaw, work_of
from bench.journal.piece_state import PieceState
from bench.journal.piece_times import piece_times
from bench.journal.store import Journal
from bench.pace.evening_plan import PieceAhead
from bench.pace.predictive import Job

ON_STAND = ("set_up", "braid", "dry")
"""Stages in which a piece lies on a stand."""


def on_stand_beside(
    journal: Journal, known: Collection[str], titles: Mapping[str, str], now: Instant
) -> Iterator[PieceAhead]:
    """What lies on a stand beside an order's own pieces (`known`, by their ids).

    Of no order only what still dries: what was begun and left there is not believed to lie there.
    `titles`: of orders by the names of their files.
    """
    for state in journal.pieces():
        if state.stage not in ON_STAND or state.uuid in known:
            continue
        started = journal.started(state.uuid)
        try:
            frozen = None if started is None else thaw(started)
        except Damaged:
            frozen = None
        if frozen is None:
            continue
        state = journal.timed(state.uuid)
        work = work_of(frozen.plan)
        left = piece_times(state, work).left
        dry_s = 60.0 * frozen.pattern.finish.dry_minutes
        is_braided = state.stage == "dry" or not dict(left)["braid"]
        drying_s = _drying_s(state, dry_s, now) if is_braided else None
        if state.commission is None and not drying_s:
            continue
        job = Job(state.pattern_name, state.size, state.colourway, work, left)
        name = f"{state.title} of {_order_of(state, titles)}"
        yield PieceAhead(name, job, dry_s, drying_s, on_stand=True)


def _drying_s(state: PieceState, dry_s: float, now: Instant) -> float:
    """Seconds that a braided piece still has to dry."""
    since = None if state.presses is None else state.presses.dry_since
    return dry_s if since is None else max(0.0, dry_s - (now.wall - since))


def _order_of(state: PieceState, titles: Mapping[str, str]) -> str:
    name = None if state.trial else state.commission
    return "no order" if name is None else titles.get(name, name)
