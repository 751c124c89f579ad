"""The pieces of an order that are not finished, in their turn, as an evening takes them."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, islice
from types import MappingProxyType

from bench.commission.on_the_stand import ON_STAND
from bench.commission.progress import (
    BegunPiece,
    CommissionProgress,
    LotProgress,
    LotWork,
    drying_s,
    rest_of,
)
from bench.commission.turns import LotAhead, Turn
from bench.journal.clock import Instant
from bench.pace.evening_plan import PieceAhead


def lots_ahead(found: CommissionProgress, samples: Collection[str] = ()) -> tuple[LotAhead, ...]:
    """What is still to be made of each lot; `samples`: ids of lots that make one first."""
    return tuple(
        LotAhead(
            lot.work.lot.name,
            lot.to_make + len(lot.making),
            lot.to_come.quantile(0.5) / 3600,
            found.commission.due_of(lot.work.lot),
            lot.work.id in samples,
        )
        for lot in found.lots
    )


def pieces_in_turn(
    found: CommissionProgress,
    turns: Sequence[Turn],
    now: Instant,
    most: int,
    held: Collection[str] = (),
    to_begin: Collection[str] = (),
    places: Mapping[str, int] = MappingProxyType({}),
) -> tuple[PieceAhead, ...]:
    """What is not finished, turn by turn, a lot's begun pieces before its new ones.

    The first so many of them, and what lies on a stand. `held`: ids of lots that wait for their
    sample, of which nothing but the sample is begun; `to_begin`: of those that are to begin it.
    `places`: of pieces by their names, where the
    maker goes by them.
    """
    lots = {lot.work.lot.name: lot for lot in found.lots}
    pieces = [*told_apart(_each(lots, turns, now, held, to_begin))]
    pieces.sort(key=lambda piece: places.get(piece.name, math.inf))
    return (*pieces[:most], *(piece for piece in pieces[most:] if piece.on_stand))


def _each(
    lots: Mapping[str, LotProgress],
    turns: Sequence[Turn],
    now: Instant,
    held: Collection[str],
    to_begin: Collection[str],
) -> Iterator[PieceAhead]:
    for turn in turns:
        lot = lots[turn.lot.name]
        begun = [begun_piece(lot.work, making, now) for making in lot.making]
        begins = lot.work.id in to_begin
        new = min(lot.to_make, int(begins)) if lot.work.id in held else lot.to_make
        fresh = (
            PieceAhead(
                lot.work.name_of(lot.next_number + number),
                lot.work.job,
                lot.work.dry_s,
                lot=lot.work.lot.name,
            )
            for number in range(new)
        )
        pieces = chain(islice(fresh, int(begins)), begun, fresh)
        if turn.sample:
            yield from islice(pieces, 1)
        else:
            yield from islice(pieces, int(turn.lot.sample), None)


def told_apart(pieces: Iterable[PieceAhead]) -> tuple[PieceAhead, ...]:
    """Number the pieces after the first that bear one name."""
    names: dict[str, int] = {}
    found = []
    for piece in pieces:
        names[piece.name] = again = names.get(piece.name, 0) + 1
        name = piece.name if again == 1 else f"{piece.name}, no. {again}"
        found.append(replace(piece, name=name))
    return tuple(found)


def begun_piece(lot_work: LotWork, making: BegunPiece, now: Instant) -> PieceAhead:
    """What is left of a piece in the making."""
    state, rest = making.state, rest_of(making.times, lot_work)
    # Braided to the end, it has still to dry, though nobody has said that it does.
    braided = not dict(rest.shares)["braid"]
    return PieceAhead(
        lot_work.name_of(state.number),
        rest,
        lot_work.dry_s,
        drying_s(making, lot_work, now) if braided else None,
        state.stage in ON_STAND,
        lot_work.lot.name,
    )
