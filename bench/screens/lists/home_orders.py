"""What the line of a commission says on the first list: what comes next, what is left of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeAlias

from bench.commission.identity import with_ids
from bench.commission.lot_number import Settled, next_number, to_make
from bench.commission.lot_refs import OrderLots, order_lots
from bench.commission.putting_away import Outstanding, ending
from bench.commission.versions import History, read_history
from bench.craft.words import plural
from bench.documents.commission import Commission
from bench.journal.piece_state import PieceState
from bench.journal.piece_times import PieceTimes
from bench.making.braid import unfinished
from bench.screens.lists.home_entry import HomeEntry
from bench.session import Session
from bench.timing.pace_service import LivePace

Pieces: TypeAlias = Callable[[], Sequence[PieceState]]
"""Reads how all pieces stand, once for all the lines that ask."""


def order_row(session: Session, pace: LivePace, row: HomeEntry, pieces: Pieces) -> HomeEntry:
    """Read the line of a commission. Raises DocumentError or Fault as reading it does."""
    library, journal = session.library, session.journal
    path = library.commission_path(row.ref)
    commission = with_ids(path.stem, library.commission(path))
    if row.kind == "away":
        return row.read_as(commission.title, ("put away",))
    history = History() if journal is None else read_history(journal, commission.id or "")
    lots_of = order_lots(journal, row.ref, commission, history)
    if lots_of.cancelled is None and not pace.known:
        lots = plural(len(commission.lots), "lot")
        count = plural(sum(lot.pieces for lot in commission.lots), "piece")
        return row.read_as(commission.title, (lots, count))
    details: tuple[str, ...] = ()
    if lots_of.cancelled is None:
        details = _to_make(session, pace.pieces, lots_of, commission)
    if details or journal is None:
        good = f"all {sum(lot.pieces for lot in commission.lots)} good"
        return row.read_as(commission.title, details or (good,))
    found = ending(journal, commission, history, lots_of, pieces())
    return _made(row, commission, lots_of, found)


def _made(row: HomeEntry, commission: Commission, lots: OrderLots, found: Outstanding) -> HomeEntry:
    """The line of a commission of which nothing is to be made any more."""
    first = found.words
    if lots.cancelled is not None:
        first = f"cancelled on {lots.cancelled.day}"
    elif found.missing:
        first = f"all {sum(lot.pieces for lot in commission.lots)} good"
    said = row.read_as(commission.title, (first, *found.missing))
    return replace(said, is_over=not found.missing)


def _to_make(
    session: Session, made: Sequence[PieceTimes], own: OrderLots, commission: Commission
) -> tuple[str, ...]:
    """What of a commission, with its ids, is to be made next, and how many of its pieces are good.

    Nothing once all of them are.
    """
    ended: dict[str | None, list[PieceTimes]] = {}
    for times in made:
        ended.setdefault(None if times.trial else own.lot_of(times), []).append(times)
    begun: dict[str | None, list[PieceState]] = {}
    for state in [] if session.journal is None else unfinished(session.journal):
        begun.setdefault(None if state.trial else own.lot_of(state), []).append(state)
    right = {key: sum(times.status == "good" for times in of_lot) for key, of_lot in ended.items()}
    good = sum(min(right.get(lot.id, 0), lot.pieces) for lot in commission.lots)
    pieces = sum(lot.pieces for lot in commission.lots)
    by_day = sorted(commission.lots, key=lambda lot: commission.due_of(lot) or dt.date.max)
    for lot in by_day:
        making = begun.get(lot.id, [])
        settled = own.settled.get(lot.id or "", Settled())
        if to_make(lot, settled, right.get(lot.id, 0), len(making)):
            there: list[PieceTimes | PieceState] = [*made, *making]
            own_ones = (one for one in there if not one.trial)
            number = next_number(own.refs.numbers(own_ones, own.ref(lot)))
            return f"next: {lot.name} {number}", f"{good} of {pieces} good"
    if good < pieces:
        return f"{good} of {pieces} good", "the rest is begun"
    return ()
