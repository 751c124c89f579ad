"""The fold of a finished piece that changes its lot, or leaves the stock and comes back."""

from __future__ import annotations

from dataclasses import replace

from bench.journal.inspection_payloads import BackInStock, LeftStock, PutIntoLot
from bench.journal.piece_state import LotLeft, PieceState, TimeAway


def put_into_lot(state: PieceState, said: PutIntoLot) -> PieceState:
    """Put it into another lot, or into none; one that has left the stock stays where it is.

    In a lot that it was in, under the number that it had there, it never left that.
    """
    if state.away is not None:
        return state
    out = _out_of_lot(state)
    again = (said.commission, said.commission_id, said.lot_id, said.number)
    left = tuple(
        one
        for one in out.lots_left
        if (one.commission, one.commission_id, one.lot_id, one.number) != again
    )
    return replace(
        out,
        commission=said.commission,
        commission_id=said.commission_id,
        lot_id=said.lot_id,
        number=said.number,
        lots_left=left,
    )


def left_stock(state: PieceState, said: LeftStock) -> PieceState:
    """Sold, lent, given away or lost, it is in no lot; of two such words the later one holds."""
    away = TimeAway(said.how, said.day, said.price, said.currency)
    earlier = (one for one in state.aways if one.back is not None)
    return replace(_out_of_lot(state), aways=(*earlier, away))


def back_in_stock(state: PieceState, said: BackInStock) -> PieceState:
    """Take back that it left last, or keep when it came back."""
    last = state.away
    if last is None:
        return state
    others = tuple(away for away in state.aways if away is not last)
    kept = () if said.undone else (replace(last, back=said.day),)
    return replace(state, aways=(*others, *kept))


def _out_of_lot(state: PieceState) -> PieceState:
    """Take it out of its lot, which keeps the number, and out of its tray."""
    left = state.lots_left
    if state.commission is not None:
        gone = LotLeft(state.commission, state.commission_id, state.lot, state.lot_id, state.number)
        left = (*left, gone)
    return replace(
        state,
        commission=None,
        commission_id=None,
        lot=None,
        lot_id=None,
        number=None,
        signed_off=None,
        before_inspections=tuple(replace(b, signed_off=None) for b in state.before_inspections),
        tray="",
        handed_over=None,
        lots_left=left,
    )
