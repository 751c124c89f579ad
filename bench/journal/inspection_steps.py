"""How a piece stands after it was looked over, after that is taken back, and reopened."""

from __future__ import annotations

from dataclasses import replace

from bench.journal import payloads as p
from bench.journal.inspection_payloads import Delivered, Inspected, InspectionUndone, Verdict
from bench.journal.piece_state import (
    GIVEN_UP,
    IN_THE_MAKING,
    BeforeInspection,
    PieceState,
    Status,
)

_STATUS_OF: dict[Verdict, Status] = {"good": "good", "second": "second", "spoilt": GIVEN_UP}


def inspected(state: PieceState, said: Inspected) -> PieceState:
    """Only a good piece can be the sample."""
    before = BeforeInspection(
        state.status, state.reason, state.inspected, state.failed, state.signed_off
    )
    return replace(
        state,
        status=_STATUS_OF[said.verdict],
        reason=said.reason,
        signed_off=state.signed_off if said.verdict == "good" else None,
        inspected=said.verdict,
        failed=said.looks,
        before_inspections=(*state.before_inspections, before),
    )


def inspection_undone(state: PieceState, _: InspectionUndone) -> PieceState:
    """As before the last inspection; the sample again, if it was that which took this from it."""
    if not state.before_inspections:
        return state
    *earlier, before = state.before_inspections
    kept = state.signed_off if state.inspected == "good" else before.signed_off
    return replace(
        state,
        status=before.status,
        reason=before.reason,
        inspected=before.inspected,
        failed=before.failed,
        signed_off=kept,
        before_inspections=tuple(earlier),
    )


def delivered(state: PieceState, said: Delivered) -> PieceState:
    """Handed over, or not after all; the first day stays while it comes back to be repaired."""
    day = None if said.undone else said.day
    first = state.handed_over or day
    if said.undone and state.delivered == state.handed_over:
        first = None
    return replace(state, delivered=day, handed_over=first, returned=False)


def reopened(state: PieceState, _: p.Reopened) -> PieceState:
    """In the making again: neither inspected nor packed nor handed over."""
    return replace(
        state,
        status=IN_THE_MAKING,
        reason=None,
        inspected=None,
        failed=(),
        before_inspections=(),
        tray="",
        delivered=None,
        handed_over=None,
        returned=False,
    )
