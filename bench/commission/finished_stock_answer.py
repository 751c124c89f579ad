"""The answer about the finished stock."""

from __future__ import annotations

from collections.abc import Sequence

from bench.answers.finished import FinishedAnswer, FinishedPiece
from bench.commission.finished_stock import StockPiece, brought
from bench.commission.pieces import status_of


def finished_answer(
    pieces: Sequence[StockPiece], done: tuple[str, ...], *, waits: bool
) -> FinishedAnswer:
    """Tell of the pieces in stock and of those that left it."""
    return FinishedAnswer(
        pieces=tuple(map(finished_piece, pieces)),
        in_stock=sum(piece.is_there for piece in pieces),
        brought=brought(pieces),
        done=done,
        waits=waits,
    )


def finished_piece(piece: StockPiece) -> FinishedPiece:
    """A piece as answers have it."""
    state, away = piece.state, piece.state.away
    return FinishedPiece(
        piece=state.uuid,
        name=state.name,
        pattern=state.pattern_name,
        size=state.size,
        colourway=state.colourway,
        status=status_of(state),
        quality=state.status,
        came_from=piece.came_from,
        beyond=piece.beyond is not None,
        how=None if away is None else away.how,
        day=None if away is None else away.day,
        price=None if away is None else away.price,
        currency="" if away is None else away.currency,
        says=piece.says,
    )
